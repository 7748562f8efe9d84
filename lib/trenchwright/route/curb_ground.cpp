#include "trenchwright/route/curb_ground.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/ends.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

constexpr double same_place_m = 1e-6;

/// The same ground told from its other end.
void turn_round(std::vector<GroundPoint>& ground)
{
    const double length = ground.back().station_m;
    std::ranges::reverse(ground);
    for (auto& point : ground) {
        point.station_m = length - point.station_m;
    }
}

} // namespace

double curb_reach_m(const Outlet& outlet, double first_run_m, const RouteRules& rules)
{
    const bool stated = outlet.kind == OutletKind::curb && outlet.curb_top_elev_m.has_value();
    return stated ? std::min(rules.curb_width_m, first_run_m) : 0;
}

double curb_reach_m(const Outlet& outlet, const Polyline& line, const RouteRules& rules)
{
    const bool at_outlet = distance_m(line[0], nearest_of_outlet(outlet, line[0])) <= same_place_m;
    return at_outlet ? curb_reach_m(outlet, distance_m(line[0], line[1]), rules) : 0;
}

std::vector<GroundPoint> with_curb_top(std::vector<GroundPoint> ground, const Outlet& outlet, double reach_m)
{
    if (!(reach_m > 0)) {
        return ground;
    }
    std::vector<GroundPoint> result{{.station_m = 0, .elev_m = *outlet.curb_top_elev_m},
                                    {.station_m = reach_m, .elev_m = elev_along_m(ground, reach_m)}};
    std::ranges::copy_if(ground, std::back_inserter(result),
                         [&](const GroundPoint& point) { return point.station_m > reach_m + same_place_m; });
    return result;
}

std::vector<GroundPoint> with_curb_top_at_end(std::vector<GroundPoint> ground, const Outlet& outlet, double reach_m)
{
    if (!(reach_m > 0)) {
        return ground;
    }
    turn_round(ground);
    ground = with_curb_top(std::move(ground), outlet, reach_m);
    turn_round(ground);
    return ground;
}

} // namespace trenchwright
