#pragma once

#include "trenchwright/route/lattice.hpp"
#include "trenchwright/route/obstacles.hpp"

#include <vector>

namespace trenchwright {

struct RoutePrep {
    std::vector<Obstacle> obstacles;
    std::vector<Point> extent;     ///< what every lattice must hold
    std::vector<Lattice> lattices; ///< one per orientation of the site
};

} // namespace trenchwright
