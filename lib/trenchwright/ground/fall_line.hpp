#pragma once

#include "trenchwright/ground/facets.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Where water that is let out on the ground comes to an end.
enum class FallEnd {
    low_spot,       ///< a place with no way down
    level,          ///< level ground
    edge_of_ground, ///< the edge of what was surveyed; beyond is unknown
    not_followed    ///< rounding left no way on
};

/// The way water takes over the ground: steepest descent.
struct FallLine {
    std::vector<Point3> points = {}; ///< straight between; heights fall all the way
    FallEnd end = FallEnd::not_followed;
};

/// Follows the ground's fall from a place, exactly: straight down each triangle, along an edge where both its
/// triangles fall toward it, and at a corner by the steepest of all ways down.
/// @return nothing for a place with no ground
std::optional<FallLine> fall_line(const Facets& facets, const Point& start);

} // namespace trenchwright
