#include "trenchwright/route/wedge.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

/// @param away_m  of a place's line to a foundation
double lowest_beside_m(double away_m, const RouteRules& rules)
{
    constexpr double between_places_m = 0.005; // a wall's corner is nearer between two places by no more
    const auto& wedge = *rules.wedge;
    const auto& section = rules.section;
    const double reach_m = section.width_m / 2 + std::numbers::sqrt2 * wedge.outer_edge_m + between_places_m;
    return wedge.bottom_elev_m - std::max(0.0, away_m - reach_m) / wedge.side_per_depth_ratio + section.wall_m +
           section.bedding_m;
}

} // namespace

double lowest_by_wedge_m(const Site& site, const Point& source, const Point& p, const RouteRules& rules)
{
    double lowest = -std::numeric_limits<double>::infinity();
    if (!rules.wedge || distance_m(source, p) <= rules.wedge->let_off_m) {
        return lowest;
    }
    for (const auto& area : site.foundations) {
        lowest = std::max(lowest, lowest_beside_m(distance_m(p, area), rules));
    }
    return lowest;
}

bool wedge_may_bind(const Site& site, const Polyline& line, double lowest_elev_m, const RouteRules& rules)
{
    return rules.wedge && std::ranges::any_of(site.foundations, [&](const Polygon& area) {
               return lowest_beside_m(distance_m(line, area), rules) > lowest_elev_m;
           });
}

} // namespace trenchwright
