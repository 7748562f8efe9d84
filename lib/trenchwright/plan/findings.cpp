#include "trenchwright/plan/findings.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/end_findings.hpp"
#include "trenchwright/plan/grade_findings.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/mark_findings.hpp"
#include "trenchwright/route/cover.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Collects findings of one trench with their stations.
class Notes {
  public:
    void add(Severity severity, std::string rule, std::string text, std::optional<double> station_m,
             std::optional<Point> at)
    {
        findings_.push_back(
            {.severity = severity, .rule = std::move(rule), .text = std::move(text), .at = at, .station_m = station_m});
    }
    void add_all(std::vector<Finding> more)
    {
        findings_.insert(findings_.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
    }
    std::vector<Finding> take() { return std::move(findings_); }

  private:
    std::vector<Finding> findings_;
};

void permission_note(Notes& notes, const TrenchPlan& trench, const Site& site)
{
    const auto& outlet = site.outlets[trench.outlet];
    for (const Water of : waters_of(site, site.sources[trench.source])) {
        const auto water = water_name(of);
        const auto permission = permission_for(outlet, of);
        if (permission == Permission::ask) {
            notes.add(Severity::warning, "permission",
                      fmt::format("Ask before using {} for {} water: its record says \"ask\".", outlet.name, water), {},
                      {});
        }
        if (permission == Permission::unstated) {
            notes.add(Severity::warning, "permission",
                      fmt::format("Nobody has stated whether {} may take {} water. Ask first.", outlet.name, water), {},
                      {});
        }
    }
    if (!outlet.permit.empty()) {
        notes.add(Severity::note, "permission", fmt::format("Permit required: {}.", outlet.permit), {}, {});
    }
}

/// Where the pipe lies shallower than its surface asks.
struct Shallow {
    double min_m = 0; ///< cover; below 0 the pipe's top is out of the ground
    Interval span;    ///< from the last station before that has its cover to the first one after
};

std::optional<Shallow> shallow_within(const TrenchPlan& trench, const Interval& span, double wanted_m)
{
    constexpr double noticeable_m = 0.002;
    std::optional<Shallow> shallow;
    double before_m = span.from_m;
    bool open = false; // the stretch goes on
    for (const auto& depth : trench.measured.depths) {
        if (depth.station_m < span.from_m || depth.station_m > span.to_m) {
            continue;
        }
        const bool lacks = depth.cover_m < wanted_m - noticeable_m;
        if (lacks && !shallow) {
            shallow = Shallow{.min_m = depth.cover_m, .span = {.from_m = before_m, .to_m = span.to_m}};
        }
        if (lacks) {
            shallow->min_m = std::min(shallow->min_m, depth.cover_m);
            shallow->span.to_m = span.to_m;
        } else if (open) {
            shallow->span.to_m = depth.station_m;
        }
        open = lacks;
        before_m = depth.station_m;
    }
    return shallow;
}

std::string min_cover_words(double min_m, const std::string& kind, UnitSystem units)
{
    return min_m < 0 ? fmt::format("The pipe's top stands out of the ground by {} ({})", depth_text(-min_m, units),
                                   display_name(kind))
                     : fmt::format("Cover goes down to {} under {}", depth_text(min_m, units), display_name(kind));
}

/// Where the pipe lies shallower than its surface asks, because the outlet's rule eases it.
void cover_notes(Notes& notes, const TrenchPlan& trench, const Rules& rules)
{
    for (const auto& [span, kind] : trench.line.facts.surface) {
        auto surface = rules.route.surfaces.at(kind);
        if (!trench.laid.shallow.empty() && surface.lowest_cover_m > 0) { // the rest is shallow_notes' to say
            surface.min_cover_m = std::min(surface.min_cover_m, surface.lowest_cover_m);
        }
        const double wanted = min_cover_m(surface, CoverZone::away, rules.route);
        if (const auto shallow = shallow_within(trench, span, wanted)) {
            notes.add(
                Severity::warning, "outlets.eased_cover",
                fmt::format("{} between {} and {}; {} is required away from the outlet. Protect the pipe or ask the "
                            "inspector.",
                            min_cover_words(shallow->min_m, kind, rules.units),
                            station_text(shallow->span.from_m, rules.units),
                            station_text(shallow->span.to_m, rules.units), depth_text(wanted, rules.units)),
                shallow->span.from_m, point_at(trench.line.route.line, shallow->span.from_m));
        }
    }
}

/// Where nothing drains under the cover wanted.
void shallow_notes(Notes& notes, const TrenchPlan& trench, const Rules& rules)
{
    const UnitSystem u = rules.units;
    for (const auto& shallow : trench.laid.shallow) {
        notes.add(Severity::warning, fmt::format("ground_cover.{}.lowest_cover", shallow.kind),
                  fmt::format("Less than the {} of cover wanted under {} between {} and {}: {} at the least, at {}. "
                              "Under that nothing drains. Protect the pipe or raise the ground.",
                              small_text(shallow.wanted_m, u), display_name(shallow.kind),
                              station_text(shallow.span.from_m, u), station_text(shallow.span.to_m, u),
                              depth_text(shallow.min_cover_m, u), station_text(shallow.min_station_m, u)),
                  shallow.span.from_m, point_at(trench.line.route.line, shallow.span.from_m));
    }
}

void fall_notes(Notes& notes, const TrenchPlan& trench, const Rules& rules)
{
    if (trench.needs_fall() && trench.laid.extra_fall_m < rules.min_extra_fall_m) {
        notes.add(Severity::warning, "drain.min_extra_fall",
                  fmt::format("Only {} of extra fall, at {}. Check the levels there before anything else.",
                              small_text(trench.laid.extra_fall_m, rules.units),
                              station_text(trench.laid.extra_fall_station_m, rules.units)),
                  trench.laid.extra_fall_station_m, point_at(trench.line.route.line, trench.laid.extra_fall_station_m));
    }
    if (trench.line.route.proven_gap > 0) {
        notes.add(Severity::note, "search.label_budget",
                  fmt::format("The search stopped at its limit; a cheaper line by up to {:.2f} may exist.",
                              trench.line.route.proven_gap),
                  {}, {});
    }
}

void bend_notes(Notes& notes, const TrenchPlan& trench, const Rules& rules)
{
    const auto& bends = trench.line.bends;
    if (static_cast<double>(bends.size()) <= rules.max_bends_count) {
        return;
    }
    double price = 0;
    for (const auto& bend : bends) {
        price += bend.price;
    }
    notes.add(Severity::warning, "route.max_bends",
              fmt::format("{} bends in one trench, {:.0f} at most: each is a fitting to set and a place to clog. In {} "
                          "the fittings alone come to {:.2f}.",
                          bends.size(), rules.max_bends_count, rules.currency, price),
              bends.front().station_m, bends.front().at);
}

/// Pop-up, inlet tie and cleanouts that stand nearer to a mark than structures may.
void structure_notes(Notes& notes, const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const auto check = [&](const std::string& what, double station_m, const Point& at) {
        const auto* mark = mark_in_reach(site, at, rules.route);
        if (mark == nullptr) {
            return;
        }
        notes.add(Severity::warning, "clearance.structure",
                  fmt::format("The {} at {} stands {}. Move it, or dig for it by hand.", what,
                              station_text(station_m, rules.units), gap_to_mark_words(*mark, at, rules)),
                  station_m, at);
    };
    const auto kind = site.outlets[trench.outlet].kind;
    if (!trench.joins && (kind == OutletKind::popup || kind == OutletKind::inlet)) {
        check(kind == OutletKind::popup ? "pop-up" : "tie to the inlet", 0, trench.line.route.line.front());
    }
    for (const auto& cleanout : trench.laid.cleanouts) {
        check("cleanout", cleanout.station_m, cleanout.at);
    }
}

} // namespace

std::vector<Finding> trench_findings(const TrenchPlan& trench, const Site& site, const Ground& ground,
                                     const Rules& rules)
{
    Notes notes;
    permission_note(notes, trench, site);
    fall_notes(notes, trench, rules);
    notes.add_all(mark_findings(trench, site, rules));
    cover_notes(notes, trench, rules);
    bend_notes(notes, trench, rules);
    structure_notes(notes, trench, site, rules);
    notes.add_all(end_findings(trench, site, ground, rules));
    shallow_notes(notes, trench, rules);
    notes.add_all(grade_findings(trench, rules));
    return notes.take();
}

} // namespace trenchwright
