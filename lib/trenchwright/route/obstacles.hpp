#pragma once

#include "trenchwright/route/route.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// Where the clearance from something may be waived.
enum class Waiver {
    none,
    at_wall,       ///< our foundation: near the source down to the pipe itself, and on the way out of the wall wholly
    at_party_wall, ///< a neighbor's building against ours: near the source down to the pipe itself, which never enters
    at_lot_end     ///< the edge of the ground we have leave for: near source and outlet down to the trench's edge
};

/// What closes ground to a trench.
enum class ObstacleKind {
    foundation,
    neighbor_building,
    neighbor_lot,
    keep_out,
    mark, ///< a facility without crossing right
    tree,
    lot_line,
    street_edge, ///< of the right-of-way: an outlet on it may be met at any angle
    well,
    septic,
    easement,
    closed_surface, ///< no Obstacle is one: the lattice and surface_fault keep out of it
    missing_ground  ///< likewise
};

/// Something the trench may not enter or come near.
struct Obstacle {
    std::string name;                             ///< for people: "foundation", "neighbor's lot", "keep-out K2"
    std::variant<Point, Polyline, Polygon> shape; ///< a polyline is a barrier: never crossed
    double clearance_m = 0;                       ///< from the trench's axis: half its width and what the rules add
    Box reach = {};                               ///< nothing outside comes too near
    Waiver waiver = Waiver::none;
    double edge_m = 0; ///< Waiver::at_lot_end: from the trench's edge, never waived; above 0 for a hard setback
    ObstacleKind kind = ObstacleKind::keep_out;
};

/// All obstacles of a site for one trench section.
///
/// The edge of what may be entered (our lot with the right-of-way) is a set of barrier lines; shared
/// edges of the two, within the snap distance, are none. Where all but neighbors' lots may be entered, only a hard
/// setback makes barriers, of the lot line along neighbors.
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
///
/// No part of the axis lies in a foundation, and no part of the pipe, but for one stretch from the source: there the
/// pipe leaves the wall, on which the source lies or inside which by no more than rules.boundary_snap_m. The trench's
/// edge, square at source and outlet, never passes the lot's edge; where the outlet itself lies on that edge (within
/// the snap distance) the trench's two end corners may, by no more than the snap distance.
/// @param source  where the trench starts; clearances are waived, as far as their obstacle says, within
///                rules.wall_exit_length_m of it and of the outlet
std::optional<RouteFault> obstacle_fault(const Run& run, const Point& source, const std::vector<Obstacle>& all,
                                         const RouteRules& rules);

/// The lot's edge that the outer corner of a trench passes or comes too near to at a bend, or nothing.
std::optional<RouteFault> corner_fault(const Point& before, const Point& bend, const Point& after,
                                       const std::vector<Obstacle>& all, const RouteRules& rules);

/// The surface along a run that may not be opened, or nothing; the last piece before the outlet is let off.
std::optional<RouteFault> surface_fault(const Run& run, const SurfaceSpans& surfaces, const RouteRules& rules);

/// How far a place lies outside everything that may be entered; 0 inside or within the snap distance.
double outside_lot_by_m(const Site& site, const Point& p, const RouteRules& rules);

} // namespace trenchwright
