#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/route/route.hpp"

#include <vector>

/// The ground at a curb outlet, by its record.
namespace trenchwright {

/// How far behind a curb outlet its record tells of the ground: the curb's width, or the line's first run where that
/// is shorter; 0 where the outlet is no curb or its record states no top.
double curb_reach_m(const Outlet& outlet, double first_run_m, const RouteRules& rules);

/// The same for a line from station 0; 0 where it begins at another trench and not at the outlet itself.
double curb_reach_m(const Outlet& outlet, const Polyline& line, const RouteRules& rules);

/// The ground with the curb's top at station 0, straight from there to the surveyed ground behind the curb.
///
/// A line drawn on the curb's face reads a height between gutter and top there, whichever side the shots favor; over
/// the pipe stands the curb.
/// @param ground   along a line that begins at the outlet
/// @param reach_m  curb_reach_m of that line; with 0 the ground stays as it is
std::vector<GroundPoint> with_curb_top(std::vector<GroundPoint> ground, const Outlet& outlet, double reach_m);

/// The same for a run whose last station is the outlet.
std::vector<GroundPoint> with_curb_top_at_end(std::vector<GroundPoint> ground, const Outlet& outlet, double reach_m);

} // namespace trenchwright
