#pragma once

#include "trenchwright/site/site.hpp"

#include <vector>

namespace trenchwright {

/// A neighbor's building that stands against one of ours.
struct PartyWall {
    std::size_t neighbor = 0; ///< index into Site::neighbor_buildings
    std::size_t ours = 0;     ///< index into Site::foundations
    friend bool operator==(const PartyWall&, const PartyWall&) = default;
};

/// Every neighbor's building within the snap distance of one of ours, each once with the nearest of ours.
std::vector<PartyWall> party_walls(const Site& site, double snap_m);

} // namespace trenchwright
