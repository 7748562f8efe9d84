#pragma once

#include "trenchwright/route/search.hpp"
#include "trenchwright/route/true_line.hpp"

#include <span>
#include <vector>

namespace trenchwright {

/// Straight runs from the true source to open cells near it, one entry per heading that a fitting leads into.
std::vector<Start> starts_at(const Lattice& lattice, std::span<const std::int32_t> highest_um, TrueLine& meter,
                             const Source& source, const RouteRules& rules);

/// Straight runs from open cells to the ends near them.
std::vector<Finish> finishes_at(const Lattice& lattice, TrueLine& meter, std::span<const EndPoint> ends,
                                const RouteRules& rules);

/// The lattice's highest inverts with the cover eased where the outlet's kind and the surface allow it.
std::vector<std::int32_t> eased_highest(const Lattice& lattice, const Outlet& outlet, const RouteRules& rules);

} // namespace trenchwright
