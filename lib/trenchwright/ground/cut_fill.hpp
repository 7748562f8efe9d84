#pragma once

#include "trenchwright/ground/facets.hpp"

#include <vector>

namespace trenchwright {

/// What it takes to turn one surface into another, in place.
struct CutFill {
    double cut_m3 = 0;  ///< where the proposed surface lies lower
    double fill_m3 = 0; ///< where it lies higher
    double cut_m2 = 0;
    double fill_m2 = 0;
    double deepest_cut_m = 0;
    double highest_fill_m = 0;
    friend bool operator==(const CutFill&, const CutFill&) = default;
};

/// Cut and fill between two surfaces, where both are known and outside the areas left out.
///
/// Exact: every triangle of one is cut by every triangle of the other, the pieces along the line where the two
/// surfaces meet, and each piece is a straight prism: its area times the mean height of its corners for a triangle.
/// Areas left out are taken off by the signed triangles of their rings, so they need not be convex. They must not
/// overlap one another.
CutFill cut_and_fill(const Facets& existing, const Facets& proposed, const std::vector<Polygon>& left_out);

} // namespace trenchwright
