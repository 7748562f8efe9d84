#pragma once

#include "trenchwright/site/row.hpp"

#include <vector>

namespace trenchwright {

/// Holds every vertex of every layer to a distance from the lot (ReadingRules::farthest_m).
///
/// A vertex beyond it is a slip wherever its part of the feature comes near the lot, and wherever nothing of the part
/// (sources, outlets, footing drains, ground heights) can be of use so far away. Other shapes that lie beyond it as a
/// whole, as in the layers of a city, are left out with a finding; where that leaves nothing of a layer, it is refused.
/// The lot's place is the median of its corners (the named lot's, else the only lot's, else the houses'), which one
/// wrong corner does not move.
/// @throws Error (input) naming file, layer, feature and the vertex
std::vector<Finding> hold_to_the_lot(std::vector<PartLayer>& layers, const SiteLayers& job);

/// @throws Error (input): no feature of the layer lies within the distance
[[noreturn]] void refuse_all(const PartLayer& layer);

} // namespace trenchwright
