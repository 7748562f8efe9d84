#pragma once

#include "trenchwright/site/row.hpp"

namespace trenchwright {

/// From how far on a feature is said to lie far outside the site. Source: common practice, no source; among a
/// real city's parcels one lot of a block reaches some 3 km away, and a block is 100 to 300 m long.
inline constexpr double far_outside_m = 500;

/// @throws Error (input) for a feature without a geometry, or with one that could not be read: a mark, a tree or a lot
///         that is left out hides a danger, a spot or a surface changes the ground
void require_places(const PartLayer& layer);

/// Doubts about a layer as a whole: warnings of the reader, assumed systems, arcs.
std::vector<Finding> layer_warnings(const PartLayer& layer);

/// One warning for each datum shift, with the layers that were brought through it.
std::vector<Finding> datum_warnings(const std::vector<PartLayer>& layers);

/// Elevations that look like "unknown" (999, 9999, ...) and were not declared so.
std::vector<Finding> sentinel_warnings(const PartLayer& layer, std::string_view attribute);

/// Features that reach further than far_outside_m from the lot.
std::vector<Finding> far_warnings(const PartLayer& layer, const std::vector<Polygon>& lot);

} // namespace trenchwright
