#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <array>
#include <span>
#include <vector>

namespace trenchwright {

/// Indices of three places, counter-clockwise, the smallest first.
using Triangle = std::array<int, 3>;

/// Delaunay triangles that fill the whole convex hull, in rising order.
///
/// Places that lie on one circle up to rounding may be joined either way; the choice depends on the
/// places and their coordinates only. Empty when the places are fewer than three or all in one line.
///
/// Sweep by x with edge flips, exact orientation test. GEOS 3.11 is not used here, only as the
/// reference in tests: its Delaunay builder starts from a finite frame and leaves thin triangles out
/// along the hull (shots along a slightly bowed curb), so that ground that was surveyed would be missing.
///
/// @param places  no two equal, all finite
std::vector<Triangle> delaunay(std::span<const Point> places);

/// Sign of the turn a, b, c: +1 left, -1 right, 0 exactly straight. Exact for the given doubles.
int turn_sign(const Point& a, const Point& b, const Point& c);

} // namespace trenchwright
