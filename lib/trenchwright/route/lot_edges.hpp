#pragma once

#include "trenchwright/site/site.hpp"

#include <vector>

namespace trenchwright {

/// The parts of the rings of `areas` that do not run along (within snap_m) or inside any of `others`.
std::vector<Polyline> free_edges(const std::vector<Polygon>& areas, const std::vector<Polygon>& others, double snap_m);

/// The parts that do.
std::vector<Polyline> shared_edges(const std::vector<Polygon>& areas, const std::vector<Polygon>& others,
                                   double snap_m);

/// Our lot's edge where it is not along the right-of-way, and where it is.
std::vector<Polyline> lot_line(const Site& site, double snap_m);
std::vector<Polyline> street_line(const Site& site, double snap_m);

} // namespace trenchwright
