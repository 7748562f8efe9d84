#pragma once

#include "trenchwright/route/route.hpp"

/// The rule of the footing's wedge as a limit of depth, place by place.
namespace trenchwright {

/// Places at which the wedge is asked for lie no farther apart than this along a trench.
inline constexpr double wedge_step_m = 0.1;

/// Lowest invert at a place that undermines no footing of our foundations; -infinity where the footing's depth is not
/// known, or where the wedge lets off beside the source.
///
/// Never too low between places wedge_step_m apart: the trench's edge counts as lying toward the wall, the footing as
/// reaching as far at its corners as along its walls, mitred.
double lowest_by_wedge_m(const Site& site, const Point& source, const Point& p, const RouteRules& rules);

/// Whether the wedge asks anywhere along a line for more than that every invert lies above lowest_elev_m.
bool wedge_may_bind(const Site& site, const Polyline& line, double lowest_elev_m, const RouteRules& rules);

} // namespace trenchwright
