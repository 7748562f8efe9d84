#include "trenchwright/plan/pump_joint.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

/// Where the pressure pipe ends in larger pipe, in words; near the wall where it never does.
std::string place_of(const TrenchPlan& trench, UnitSystem units)
{
    if (trench.joins) {
        return fmt::format("at the wye, {} along the pipe from where it leaves the house",
                           length_text(trench.measured.quantities.pipe_length_m, units));
    }
    return trench.pressure ? "to be set outside near the wall, for the line is closed from there to the outlet"
                           : "where it leaves the house and runs into the trench's pipe";
}

/// From a place to the nearest foundation; nothing when none is supplied.
std::optional<double> to_foundation_m(const Site& site, const Point& at)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto& foundation : site.foundations) {
        least = std::min(least, distance_m(at, foundation));
    }
    return site.foundations.empty() ? std::nullopt : std::optional(least);
}

bool has_joint(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    return site.sources[trench.source].kind == SourceKind::pump && rules.water.pump_line.joint != "closed";
}

/// At the junction, else at the wall.
double joint_elev_m(const TrenchPlan& trench)
{
    const auto& points = trench.laid.profile.points;
    return (trench.joins ? points.front() : points.back()).invert_elev_m;
}

Finding spilling(const TrenchPlan& trench, const Site& site, const Rules& rules, double lid_elev_m, const Point& at,
                 double station_m)
{
    const UnitSystem u = rules.units;
    const auto away = to_foundation_m(site, at);
    return finding(Severity::warning, "pump_line.joint",
                   fmt::format("Pump: the lid of {} lies {} above the {} joint of its line, {}: each pump cycle spills "
                               "at the joint before the lid lifts{}. Raise the joint above the lid ({}), or let the "
                               "pipe out lower.",
                               site.outlets[trench.outlet].name, small_text(lid_elev_m - joint_elev_m(trench), u),
                               rules.water.pump_line.joint, place_of(trench, u),
                               away ? fmt::format(", {} from the foundation", length_text(*away, u)) : "",
                               elev_text(lid_elev_m, u)),
                   at, station_m);
}

} // namespace

bool spills_below(const TrenchPlan& trench, const Site& site, const Rules& rules, double lid_elev_m)
{
    return has_joint(trench, site, rules) && lid_elev_m > joint_elev_m(trench);
}

std::vector<Finding> pump_joint_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                         std::optional<double> lid_elev_m)
{
    if (site.sources[trench.source].kind != SourceKind::pump) {
        return {};
    }
    const auto& line = trench.line.route.line;
    const Point& at = trench.joins ? line.front() : line.back();
    const double station_m = trench.joins ? 0 : length_m(line);
    const auto& joint = rules.water.pump_line.joint;
    if (joint == "closed") {
        return {finding(Severity::warning, "pump_line.joint",
                        "Pump: nothing lets the water out when the line is frozen or blocked below the wall: the pump "
                        "runs against it and the pit floods. A loose or open joint outside (pump_line.joint) gives it "
                        "a way.",
                        at, station_m)};
    }
    if (lid_elev_m && spills_below(trench, site, rules, *lid_elev_m)) {
        return {spilling(trench, site, rules, *lid_elev_m, at, station_m)};
    }
    const auto away = to_foundation_m(site, at);
    return {
        finding(Severity::note, "pump_line.joint",
                fmt::format("Pump: {} joint of its line {}. When what lies below is frozen or full, the water comes "
                            "up there{}.",
                            joint, place_of(trench, rules.units),
                            away ? fmt::format(", {} from the foundation", length_text(*away, rules.units)) : ""),
                at, station_m)};
}

} // namespace trenchwright
