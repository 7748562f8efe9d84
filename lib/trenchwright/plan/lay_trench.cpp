#include "trenchwright/plan/lay_trench.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

Refusal too_near(const TrenchPlan& trench, double station_m, double short_by_m, std::string text)
{
    return {.kind = RefusalKind::clearance,
            .text = std::move(text),
            .at = point_at(trench.line.route.line, station_m),
            .station_m = station_m,
            .short_by_m = short_by_m};
}

/// The first stretch along a facility that is nearer than a hard side gap. What is shorter than the least straight run
/// is the corner of a bend, not a run; it is flagged like any other.
std::optional<Refusal> too_near_beside(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const UnitSystem u = rules.units;
    for (const auto& run : trench.measured.along) {
        const Mark& mark = site.marks[run.mark];
        const auto& asked = separation_from(mark.facility, rules.clearances);
        const bool runs = run.span.to_m - run.span.from_m >= rules.route.min_run_m;
        if (runs && run.too_near && asked.side_hard) {
            const std::string near = run.gap_m > 0 ? depth_text(run.gap_m, u) + " from it" : "upon it";
            return too_near(trench, run.span.from_m, std::max(0.0, asked.side_m - run.gap_m),
                            fmt::format("runs along {} from {} to {}, {} at the nearest; {} is required",
                                        mark_name_and_advice(mark), station_text(run.span.from_m, u),
                                        station_text(run.span.to_m, u), near, depth_text(asked.side_m, u)));
        }
    }
    return std::nullopt;
}

std::string facility_text(const KnownLine& known, const Site& site, UnitSystem units)
{
    return fmt::format("{} crosses at {} with its top at {}", mark_name_and_advice(site.marks[known.mark]),
                       station_text(known.station_m, units), elev_text(known.top_elev_m, units));
}

Refusal no_clearance(const TrenchPlan& trench, const KnownLine& known, const NoWayPast& bar, const Site& site,
                     UnitSystem units)
{
    return too_near(trench, known.station_m, std::min(bar.over_short_m, bar.under_short_m),
                    fmt::format("{}; with a gap of {} the pipe lacks {} of room over it and {} under it",
                                facility_text(known, site, units), depth_text(known.gap_m, units),
                                small_text(bar.over_short_m, units), small_text(bar.under_short_m, units)));
}

/// A pump's discharge line lies at the least cover, whatever it crosses.
std::optional<Refusal> lay_pressure(TrenchPlan& trench, const std::vector<KnownLine>& known, const Site& site,
                                    UnitSystem units)
{
    trench.laid.profile = lay_at_cover(trench.laid.problem);
    for (const auto& facility : known) {
        const double gap = passing(trench.laid.problem.section, trench.laid.profile.points, facility).gap_m;
        if (facility.hard && gap < facility.gap_m - gap_rounding_m) {
            return too_near(
                trench, facility.station_m, facility.gap_m - gap,
                fmt::format("{}; laid at the minimum cover, the pump's discharge line leaves {} of the gap of {}",
                            facility_text(facility, site, units), depth_text(std::max(0.0, gap), units),
                            depth_text(facility.gap_m, units)));
        }
    }
    return std::nullopt;
}

} // namespace

std::optional<Refusal> lay_trench(TrenchPlan& trench, const Site& site, const Rules& rules)
{
    if (auto beside = too_near_beside(trench, site, rules)) {
        return beside;
    }
    const auto& problem = trench.laid.problem;
    const auto known = known_lines(site, trench.line.route.line, problem.ground, problem.section, rules.clearances);
    if (trench.pressure) {
        return lay_pressure(trench, known, site, rules.units);
    }
    auto laid = lay_past(problem, known);
    if (auto* refusal = std::get_if<Refusal>(&laid)) {
        return std::move(*refusal);
    }
    if (const auto* bar = std::get_if<NoWayPast>(&laid)) {
        return no_clearance(trench, known[bar->known], *bar, site, rules.units);
    }
    auto& past = std::get<LaidPast>(laid);
    trench.laid.profile = std::move(past.profile);
    trench.laid.problem.limits = std::move(past.limits);
    return std::nullopt;
}

} // namespace trenchwright
