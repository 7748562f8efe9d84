#pragma once

#include "trenchwright/site/site.hpp"

#include <span>
#include <vector>

namespace trenchwright {

/// Directions worth a lattice of their own: the house's main wall, and the street where it runs otherwise.
std::vector<double> site_orientations_rad(const Site& site);

/// False when a lattice turned so would hold nearly the same headings as one of `used_rad` (45 degrees apart).
bool is_new_orientation(double angle_rad, std::span<const double> used_rad);

/// Places that must lie inside every lattice: our lot, the sources, and the outlets as far as they are near.
std::vector<Point> search_extent(const Site& site);

} // namespace trenchwright
