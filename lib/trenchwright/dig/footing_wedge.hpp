#pragma once

#include "trenchwright/geom/over.hpp"
#include "trenchwright/profile/profile.hpp"

#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// The bottom of a footing and how far its edges lie from the foundation's outline.
struct FootingEdge {
    double bottom_elev_m = 0;
    double outer_edge_m = 0;                 ///< outward
    std::optional<double> inner_edge_m = {}; ///< inward; nothing: not known
    friend bool operator==(const FootingEdge&, const FootingEdge&) = default;
};

/// The footing under a foundation's walls as convex pieces: a strip along each wall from the inner to the outer edge,
/// and the mitred corners. An inner edge that is not known counts as the outline.
/// A corner sharper than about 20 degrees is cut off at five widths.
std::vector<Ring> footing_pieces(const std::vector<Polygon>& foundations, const FootingEdge& footing);

/// Where a trench's bottom lies below the line that goes down and away from the footing's bottom edge.
///
/// At each station the nearest point of the trench bottom, over its whole width, must lie no deeper than the
/// footing's bottom less its distance from the footing over side_per_depth_ratio. Exact for straight runs and grades.
/// @param bottom  stations and heights of the trench bottom, straight between
/// @param side_per_depth_ratio  1 for a line of 45 degrees; above 0
/// @return depth over the line, by rising station
/// @throws Error (internal) for a width or ratio that is not above 0, NaN included
/// Source: UPC 314.1, side distance at least the depth below the footing: docs/sources.md, J6.
std::vector<ExceedingSpan> wedge_breaches(const Polyline& line, double width_m, std::span<const GradePoint> bottom,
                                          const std::vector<Polygon>& foundations, const FootingEdge& footing,
                                          double side_per_depth_ratio);

} // namespace trenchwright
