#include "trenchwright/plan/grade_findings.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

class Notes {
  public:
    explicit Notes(const TrenchPlan& trench) : trench_(trench) {}
    void add(Severity severity, std::string rule, std::string text, double station_m)
    {
        findings_.push_back({.severity = severity,
                             .rule = std::move(rule),
                             .text = std::move(text),
                             .at = point_at(trench_.line.route.line, station_m),
                             .station_m = station_m});
    }
    std::vector<Finding> take() { return std::move(findings_); }

  private:
    const TrenchPlan& trench_;
    std::vector<Finding> findings_;
};

void add_unmade(Notes& notes, const TrenchPlan& trench, UnitSystem units)
{
    for (const auto& vertical : trench.laid.grades.bends) {
        if (!vertical.buildable) {
            notes.add(
                Severity::warning, "route.max_turn",
                fmt::format("The grade changes by {:.1f} deg at {}: no fittings make that. Let the pipe drop in a "
                            "riser there, or give it a deeper cut.",
                            vertical.bend.angle_rad * 180 / std::numbers::pi,
                            station_text(vertical.bend.station_m, units)),
                vertical.bend.station_m);
        }
    }
}

std::string drop_place(const TrenchPlan& trench, const PipeDrop& drop, UnitSystem units)
{
    if (drop.span.to_m >= trench.laid.profile.points.back().station_m) {
        return fmt::format("between {} and the wall", station_text(drop.span.from_m, units));
    }
    return fmt::format("between {} and {}", station_text(drop.span.from_m, units), station_text(drop.span.to_m, units));
}

void add_drops(Notes& notes, const TrenchPlan& trench, UnitSystem units)
{
    for (const auto& drop : trench.laid.grades.drops) {
        notes.add(Severity::note, "drain.drop_fall",
                  fmt::format("The pipe {} by {} {}: a riser with its elbows, no grade.",
                              drop.height_m > 0 ? "drops" : "climbs", depth_text(std::abs(drop.height_m), units),
                              drop_place(trench, drop, units)),
                  drop.span.from_m);
    }
}

void add_anchors(Notes& notes, const TrenchPlan& trench, UnitSystem units)
{
    for (const auto& stretch : trench.laid.grades.anchored) {
        notes.add(Severity::note, "anchors.fall",
                  fmt::format("The pipe falls by up to {:.1f} % between {} and {}: {} anchor{}, no farther apart than "
                              "{}.",
                              stretch.fall_ratio * 100, station_text(stretch.span.from_m, units),
                              station_text(stretch.span.to_m, units), stretch.anchors, stretch.anchors == 1 ? "" : "s",
                              length_text(stretch.spacing_m, units)),
                  stretch.span.from_m);
    }
}

void add_reducer(Notes& notes, const TrenchPlan& trench, UnitSystem units)
{
    if (const auto& reduced = trench.laid.reduced) {
        notes.add(Severity::note, "outlets.reducer",
                  fmt::format("The curb is too low for the drain's own pipe, {} outside: from {} on it ends in {}, {} "
                              "outside, behind a reducer.",
                              diameter_text(trench.laid.problem.section.outside_diameter_m, units),
                              station_text(reduced->length_m, units), reduced->pipe,
                              diameter_text(reduced->outside_diameter_m, units)),
                  reduced->length_m);
    }
}

} // namespace

std::vector<Finding> grade_findings(const TrenchPlan& trench, const Rules& rules)
{
    Notes notes(trench);
    add_unmade(notes, trench, rules.units);
    add_drops(notes, trench, rules.units);
    add_anchors(notes, trench, rules.units);
    add_reducer(notes, trench, rules.units);
    return notes.take();
}

} // namespace trenchwright
