#pragma once

#include "trenchwright/ground/ground.hpp"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// A spot that the surface of the others misses by some amount.
struct LeftOut {
    std::size_t spot = 0;           ///< index into Ground::points()
    std::array<int, 3> corners{};   ///< of the triangle at its place without it, likewise
    std::array<double, 3> shares{}; ///< of these corners there; they sum to 1
    double error_m = 0;             ///< spot less surface
};

/// The chosen points off the hull, each with the triangle that covers its place when it is taken out.
std::vector<LeftOut> left_out(std::span<const Point3> points, std::span<const GroundTriangle> triangles,
                              const std::vector<bool>& chosen);

/// Shares of the corners of a triangle at a place: 1 at a corner, negative outside.
std::array<double, 3> shares_in(const Point& place, const Point& a, const Point& b, const Point& c);

/// Root mean square of (spot - surface without it) over the chosen points off the hull; nothing when there is none.
///
/// Exact, not a sample: taking one point out of a Delaunay triangulation changes only the triangles around it,
/// and these become Delaunay triangles of its neighbors alone, so each point costs a triangulation of about six.
std::optional<double> leave_one_out_rms_m(std::span<const Point3> points, std::span<const GroundTriangle> triangles,
                                          const std::vector<bool>& chosen);

} // namespace trenchwright
