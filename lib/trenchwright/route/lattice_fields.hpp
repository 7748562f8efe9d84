#pragma once

#include "trenchwright/route/lattice.hpp"

namespace trenchwright {

/// The fields of a lattice, each filled from true geometry. Only lattice.cpp calls these.

/// Surface kinds met on a lattice and which one each cell's center lies on.
struct CellSurfaces {
    std::vector<SurfaceRule> kinds; ///< 0 is the default surface
    std::vector<std::uint8_t> of_cell;
};
/// @throws Error (input) for a surface kind without rules
CellSurfaces top_surfaces(const Lattice& lattice, const Site& site, const RouteRules& rules);

/// 1 where a trench's axis may pass.
std::vector<std::uint8_t> open_cells(const Lattice& lattice, const Site& site, const std::vector<Obstacle>& all,
                                     const CellSurfaces& surfaces, const RouteRules& rules);

/// Highest and lowest inverts; cells without ground are closed.
void set_elevations(Lattice& lattice, const Site& site, const Ground& ground, const CellSurfaces& surfaces,
                    const RouteRules& rules);

/// Money of every step between open cells.
void set_step_costs(Lattice& lattice, const Site& site, const CellSurfaces& surfaces, const RouteRules& rules);

} // namespace trenchwright
