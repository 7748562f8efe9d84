#pragma once

#include "route/route.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// Something the trench may not enter or come near.
struct Obstacle {
    std::string name;                             ///< for people: "foundation", "neighbour's lot", "keep-out K2"
    std::variant<Point, Polyline, Polygon> shape; ///< a polyline is a barrier: never crossed
    double clearance_m = 0;                       ///< from the trench's axis: half its width and what the rules add
    Box reach = {};                               ///< nothing outside comes too near
    bool near_source = false; ///< the clearance, not the shape, is waived where the pipe leaves the wall
    bool near_end = false;    ///< the same where it meets the outlet
};

/// All obstacles of a site for one trench section.
///
/// The edge of what may be entered (our lot with the right-of-way) is a set of barrier lines; shared
/// edges of the two, within the snap distance, are none.
std::vector<Obstacle> obstacles(const Site& site, const RouteRules& rules);

/// Distance from an obstacle to a straight run or a point; 0 inside.
double distance_m(const Polyline& line, const Obstacle& obstacle);
double distance_m(const Point& p, const Obstacle& obstacle);
Box box_of(const std::variant<Point, Polyline, Polygon>& place);

/// One straight run of a trench and whether it is the last one.
struct Run {
    Point upper;         ///< toward the source
    Point lower;         ///< toward the outlet
    bool to_end = false; ///< lower is the outlet
    friend bool operator==(const Run&, const Run&) = default;
};

/// The obstacle a run enters or comes too near to, or nothing. Exact distances.
/// @param source  where the trench starts; clearances marked near_source are waived within rules.wall_exit_length_m of
/// it
std::optional<RouteFault> obstacle_fault(const Run& run, const Point& source, const std::vector<Obstacle>& all,
                                         const RouteRules& rules);

/// The surface along a run that may not be opened, or nothing; the last piece before the outlet is let off.
std::optional<RouteFault> surface_fault(const Run& run, const SurfaceSpans& surfaces, const RouteRules& rules);

/// How far a place lies outside everything that may be entered; 0 inside or within the snap distance.
double outside_lot_by_m(const Site& site, const Point& p, const RouteRules& rules);

} // namespace trenchwright
