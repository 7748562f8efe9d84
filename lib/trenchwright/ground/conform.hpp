#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/base/point.hpp"

#include <array>
#include <span>
#include <vector>

namespace trenchwright {

// How near is the same. All far below what a level or a total station can tell apart.
/// Two places nearer than this are one.
inline constexpr double same_place_m = 1e-4;
/// A spot nearer than this to a breakline lies on it and splits it.
inline constexpr double on_line_m = 1e-3;
/// Elevations of one place that differ by more are a finding: a reading error, or two marks at one place.
inline constexpr double same_elev_m = 0.005;
/// Breaklines are not split shorter than this.
inline constexpr double min_piece_m = 0.01;

/// Places for a Delaunay triangulation that has every breakline among its edges.
struct ConformedPoints {
    std::vector<Point3> points;             ///< distinct; measured ones first, then those added on breaklines
    std::vector<bool> lone_spot;            ///< by point: measured, and on no breakline
    std::vector<std::array<int, 2>> pieces; ///< of the breaklines, smaller index first, rising
    std::vector<Finding> findings;          ///< repeated or conflicting elevations
};

/// Splits breaklines until the circle on each piece as diameter is empty: the piece is then an edge of any
/// Delaunay triangulation (Gabriel's condition). Pieces at a corner are cut at powers of two from it, so
/// breaklines that meet at a sharp angle do not cut each other for ever (Ruppert 1995, concentric shells).
///
/// Where breaklines cross, the crossing is added with the mean elevation. Where a spot lies on a breakline
/// the spot's own elevation counts. Of two elevations at one place the first counts. Each disagreement
/// beyond same_elev_m is a finding.
/// @throws Error (input) for a coordinate or elevation that is not finite, naming the spot or breakline
ConformedPoints conform(std::span<const Point3> spots, std::span<const std::vector<Point3>> breaklines);

} // namespace trenchwright
