#pragma once

#include "ground/ground.hpp"

#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// Root mean square of (spot - surface without it) over the chosen points off the hull; nothing when there is none.
///
/// Exact, not a sample: taking one point out of a Delaunay triangulation changes only the triangles around it,
/// and these become Delaunay triangles of its neighbours alone, so each point costs a triangulation of about six.
std::optional<double> leave_one_out_rms_m(std::span<const Point3> points, std::span<const GroundTriangle> triangles,
                                          const std::vector<bool>& chosen);

} // namespace trenchwright
