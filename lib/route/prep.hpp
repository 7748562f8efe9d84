#pragma once

#include "route/lattice.hpp"
#include "route/obstacles.hpp"

#include <vector>

namespace trenchwright {

struct RoutePrep {
    std::vector<Obstacle> obstacles;
    std::vector<Point> extent;     ///< what every lattice must hold
    std::vector<Lattice> lattices; ///< one per orientation of the site
};

} // namespace trenchwright
