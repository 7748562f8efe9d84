#include "trenchwright/plan/end_findings.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/curb_ground.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double noticeable_m = 0.001;

/// Where a line lies farthest outside the surveyed ground: at a vertex, for that ground is convex.
std::pair<double, double> farthest_outside(const Polyline& line, const Ground& ground)
{
    double outside_m = 0;
    double station_m = 0;
    double at_m = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        at_m += i > 0 ? distance_m(line[i - 1], line[i]) : 0;
        const double here_m = ground.outside_by_m(line[i]);
        if (here_m > outside_m) {
            outside_m = here_m;
            station_m = at_m;
        }
    }
    return {outside_m, station_m};
}

void add_edge_note(std::vector<Finding>& findings, const TrenchPlan& trench, const Ground& ground, const Rules& rules)
{
    const auto& line = trench.line.route.line;
    const auto [outside_m, station_m] = farthest_outside(line, ground);
    if (!(outside_m > noticeable_m)) {
        return;
    }
    findings.push_back(
        {.severity = Severity::note,
         .rule = "levels.edge_reach",
         .text = fmt::format("{} lies {} outside the surveyed ground; the height of the ground's edge is "
                             "taken there. One more shot there would settle it.",
                             station_text(station_m, rules.units), depth_text(outside_m, rules.units)),
         .at = point_at(line, station_m),
         .station_m = station_m});
}

void add_curb_warning(std::vector<Finding>& findings, const TrenchPlan& trench, const Outlet& outlet,
                      const Ground& ground, const Rules& rules)
{
    const auto& line = trench.line.route.line;
    const double reach_m = curb_reach_m(outlet, line, rules.route);
    const auto behind = reach_m > 0 ? ground.elev_m(point_at(line, reach_m)) : std::nullopt;
    if (!behind || !(std::abs(*behind - *outlet.curb_top_elev_m) > rules.curb_top_tolerance_m)) {
        return;
    }
    const UnitSystem u = rules.units;
    findings.push_back(
        {.severity = Severity::warning,
         .rule = "outlets.curb_top_tolerance",
         .text = fmt::format("The record of {} gives the top of the curb as {}; the surveyed ground {} behind its face "
                             "is {}, {} {}. The record is used at the face. Shoot the top of the curb and the ground "
                             "behind it.",
                             outlet.name, elev_text(*outlet.curb_top_elev_m, u), depth_text(reach_m, u),
                             elev_text(*behind, u), depth_text(std::abs(*behind - *outlet.curb_top_elev_m), u),
                             *behind < *outlet.curb_top_elev_m ? "lower" : "higher"),
         .at = point_at(line, reach_m),
         .station_m = reach_m});
}

} // namespace

std::vector<Finding> end_findings(const TrenchPlan& trench, const Site& site, const Ground& ground, const Rules& rules)
{
    std::vector<Finding> findings;
    add_edge_note(findings, trench, ground, rules);
    add_curb_warning(findings, trench, site.outlets[trench.outlet], ground, rules);
    return findings;
}

} // namespace trenchwright
