#pragma once

#include "trenchwright/site/site.hpp"

#include <vector>

namespace trenchwright {

/// The straight sides of our lot, each from corner to corner, the lots and their sides in the order of the layer.
/// Surveys put points into straight lot lines: a turn of less than 0.1 degrees is no corner.
std::vector<Polyline> lot_sides(const Site& site);

} // namespace trenchwright
