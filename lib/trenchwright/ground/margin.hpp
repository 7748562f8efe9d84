#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/geom/triangulation.hpp"

#include <array>
#include <span>
#include <vector>

namespace trenchwright {

/// A surface of triangles with the places it is made of.
struct Surface {
    std::vector<Point3> points;
    std::vector<Triangle> triangles; ///< counter-clockwise
};

/// The edges that belong to one triangle alone, each counter-clockwise about the surface.
/// @param triangles  counter-clockwise
std::vector<std::array<int, 2>> hull_edges(std::span<const Triangle> triangles);

/// The surface with a margin around it in which the height is that of the nearest place of its edge: square to an edge
/// level, around a corner as high as the corner.
///
/// The margin is exactly `reach_m` wide along edges and around corners up to 0.3 % wider, for its fans have sides. The
/// surface itself stays as it is: its points and triangles come first and unchanged.
/// @param reach_m  above 0
Surface with_margin(Surface surface, double reach_m);

} // namespace trenchwright
