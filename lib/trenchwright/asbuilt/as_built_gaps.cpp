#include "trenchwright/asbuilt/laid_pipe.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string mark_words(const Mark& mark)
{
    return mark.probable() ? mark_name_and_advice(mark) : fmt::format("{} ({})", mark_name(mark), paint_words(mark));
}

/// What the gaps of one trench are judged by.
struct Gaps {
    const MeasuredTrench& measured;
    const Site& site;
    const Ground& ground;
    const Rules& rules;
    std::vector<Finding> findings{};

    void add(Severity severity, const std::string& rule, const std::string& text, const Point& at, double station_m)
    {
        findings.push_back({.severity = severity, .rule = rule, .text = text, .at = at, .station_m = station_m});
    }
};

/// Where the laid pipe crosses a mark.
struct LaidCrossing {
    std::size_t mark = 0;
    LineCrossing met;             ///< along the laid line
    double station_m = 0;         ///< along the plan
    bool placed = true;           ///< between two measured places; else on the planned line
    std::vector<GradePoint> pipe; ///< along the laid line
};

std::string gap_words(const Passing& passed, const KnownLine& known, bool width_taken, const Rules& rules)
{
    const auto u = rules.units;
    const std::string gap =
        passed.gap_m < 0 ? fmt::format("by its recorded depth the two overlap by {}", depth_text(-passed.gap_m, u))
                         : fmt::format("{} it with a gap of {} by its recorded depth", passed.over ? "over" : "under",
                                       depth_text(passed.gap_m, u));
    const auto width = width_taken
                           ? fmt::format(", its width taken as {}", small_text(rules.clearances.unknown_width_m, u))
                           : std::string();
    return fmt::format("{}, {} is required{}", gap, depth_text(known.gap_m, u), width);
}

/// The gap up or down, or why there is no figure.
std::pair<Severity, std::string> gap_at(const Gaps& gaps, const LaidCrossing& crossing)
{
    const auto& mark = gaps.site.marks[crossing.mark];
    const auto ground_m = gaps.ground.elev_m(crossing.met.at);
    if (!depth_known(mark)) {
        return {Severity::note, "depth unknown, gap not judged"};
    }
    if (!ground_m) {
        return {Severity::note, "no ground was surveyed there to count its depth from, gap not judged"};
    }
    const auto& section = gaps.measured.trench->laid.problem.section;
    const auto known = facility_at(gaps.site, crossing.mark, crossing.met, *ground_m - *mark.exposed_depth_m, section,
                                   gaps.rules.clearances);
    const auto passed = passing(section, crossing.pipe, known);
    const bool kept = passed.gap_m >= known.gap_m - gap_rounding_m;
    const auto grave = known.hard ? Severity::stop : Severity::warning;
    return {kept ? Severity::note : grave, gap_words(passed, known, !mark.width_m, gaps.rules)};
}

void crossing_finding(Gaps& gaps, const LaidCrossing& crossing)
{
    auto [severity, gap] = gap_at(gaps, crossing);
    const auto& planned = gaps.measured.trench->measured.crossings;
    const bool in_plan = std::ranges::any_of(planned, [&](const auto& p) { return p.mark == crossing.mark; });
    std::string text = fmt::format("Crosses {} at {}: {}.", mark_words(gaps.site.marks[crossing.mark]),
                                   station_text(crossing.station_m, gaps.rules.units), gap);
    if (!crossing.placed) {
        text += " The pipe is taken on its planned line there.";
    }
    if (!in_plan) {
        text += " The plan does not cross it.";
        severity = std::max(severity, Severity::warning);
    }
    gaps.add(severity, "clearance", text, crossing.met.at, crossing.station_m);
}

/// The piece of the line at a length along it.
std::size_t piece_at(const Polyline& line, double along_m)
{
    const auto along = vertex_stations_m(line);
    std::size_t piece = 0;
    while (piece + 2 < along.size() && along[piece + 1] < along_m) {
        ++piece;
    }
    return piece;
}

void crossings_of_run(Gaps& gaps, const LaidRun& run)
{
    for (std::size_t i = 0; i < gaps.site.marks.size(); ++i) {
        for (const auto& met : crossings(run.line, gaps.site.marks[i].line)) {
            crossing_finding(gaps, {.mark = i,
                                    .met = met,
                                    .station_m = run.station_at_m(met.station_m),
                                    .placed = run.placed[piece_at(run.line, met.station_m)],
                                    .pipe = run.pipe});
        }
    }
}

/// A planned crossing in no run: judged only by a level taken right at it.
void crossing_outside(Gaps& gaps, const Crossing& crossing)
{
    const auto& inverts = gaps.measured.inverts;
    const auto level = std::ranges::find_if(inverts, [&](const MeasuredInvert& one) {
        return std::abs(one.station_m - crossing.station_m) <= station_rounding_m;
    });
    if (level != inverts.end()) {
        crossing_finding(gaps, {.mark = crossing.mark,
                                .met = {.station_m = crossing.station_m,
                                        .other_station_m = 0,
                                        .angle_rad = crossing.angle_rad,
                                        .at = crossing.at},
                                .station_m = crossing.station_m,
                                .placed = false,
                                .pipe = {{level->station_m, level->invert_elev_m}}});
        return;
    }
    const auto& mark = gaps.site.marks[crossing.mark];
    gaps.add(Severity::note, "clearance",
             fmt::format("The plan crosses {} at {}: the pipe was not measured there, gap not judged.",
                         mark_words(mark), station_text(crossing.station_m, gaps.rules.units)),
             crossing.at, crossing.station_m);
}

/// The pieces of a run whose places were measured, joined where they meet.
std::vector<LaidRun> placed_parts(const LaidRun& run)
{
    std::vector<LaidRun> parts;
    bool open = false;
    for (std::size_t i = 0; i < run.placed.size(); ++i) {
        if (run.placed[i] && !open) {
            parts.push_back({.line = {run.line[i]}, .stations_m = {run.stations_m[i]}, .placed = {}, .pipe = {}});
        }
        if (run.placed[i]) {
            parts.back().line.push_back(run.line[i + 1]);
            parts.back().stations_m.push_back(run.stations_m[i + 1]);
        }
        open = run.placed[i];
    }
    return parts;
}

std::string side_words(const ParallelRun& side, const Mark& mark, const Rules& rules)
{
    const auto u = rules.units;
    const auto near = side.gap_m > 0 ? fmt::format("{} from it at the nearest", depth_text(side.gap_m, u))
                                     : std::string("upon it at the nearest");
    return fmt::format("{}, {} is required{}{}", near,
                       depth_text(separation_from(mark.facility, rules.clearances).side_m, u), accuracy_words(mark, u),
                       depth_known(mark) ? "" : "; depth unknown, gap up or down not judged");
}

void side_findings(Gaps& gaps, const LaidRun& part)
{
    auto route = gaps.rules.route;
    route.section = gaps.measured.trench->laid.problem.section;
    for (const auto& side : parallel_runs(gaps.site, part.line, route, gaps.rules.clearances)) {
        const auto& mark = gaps.site.marks[side.mark];
        const bool hard = separation_from(mark.facility, gaps.rules.clearances).side_hard;
        const auto severity = !side.too_near ? Severity::note : hard ? Severity::stop : Severity::warning;
        const double from_m = part.station_at_m(side.span.from_m);
        gaps.add(severity, "clearance",
                 fmt::format("Runs along {} from {} to {}: {}.", mark_words(mark),
                             station_text(from_m, gaps.rules.units),
                             station_text(part.station_at_m(side.span.to_m), gaps.rules.units),
                             side_words(side, mark, gaps.rules)),
                 point_at(part.line, side.span.from_m), from_m);
    }
}

/// Where the plan runs along a mark and nobody measured where the pipe lies.
void unplaced_sides(Gaps& gaps, const std::vector<Interval>& placed)
{
    for (const auto& side : gaps.measured.trench->measured.along) {
        for (const auto& span : minus({side.span}, placed)) {
            gaps.add(Severity::note, "clearance",
                     fmt::format("The plan runs along {} from {} to {}: the pipe's place was not measured there, side "
                                 "gap not judged.",
                                 mark_words(gaps.site.marks[side.mark]), station_text(span.from_m, gaps.rules.units),
                                 station_text(span.to_m, gaps.rules.units)),
                     point_at(gaps.measured.trench->line.route.line, span.from_m), span.from_m);
        }
    }
}

} // namespace

std::vector<Finding> laid_gap_findings(const MeasuredTrench& measured, const Site& site, const Ground& ground,
                                       const Rules& rules)
{
    Gaps gaps{.measured = measured, .site = site, .ground = ground, .rules = rules};
    const auto runs = laid_runs(measured, rules.papers.measured_spacing_m);
    std::vector<Interval> placed;
    for (const auto& run : runs) {
        crossings_of_run(gaps, run);
        for (const auto& part : placed_parts(run)) {
            side_findings(gaps, part);
            placed.push_back(part.span());
        }
    }
    for (const auto& crossing : measured.trench->measured.crossings) {
        const bool in_run = std::ranges::any_of(runs, [&](const LaidRun& run) {
            return crossing.station_m >= run.span().from_m && crossing.station_m <= run.span().to_m;
        });
        if (!in_run) {
            crossing_outside(gaps, crossing);
        }
    }
    unplaced_sides(gaps, placed);
    return std::move(gaps.findings);
}

} // namespace trenchwright
