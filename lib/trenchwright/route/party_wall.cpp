#include "trenchwright/route/party_wall.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>

namespace trenchwright {

std::vector<PartyWall> party_walls(const Site& site, double snap_m)
{
    std::vector<PartyWall> walls;
    for (std::size_t i = 0; i < site.neighbor_buildings.size(); ++i) {
        const auto& building = site.neighbor_buildings[i];
        const auto reach = grown(bounds(building.outer), snap_m);
        std::optional<std::size_t> nearest;
        double least_m = snap_m;
        for (std::size_t k = 0; k < site.foundations.size(); ++k) {
            const auto& ours = site.foundations[k];
            if (!overlap(reach, bounds(ours.outer))) {
                continue;
            }
            if (const double away_m = distance_m(closed(building.outer), ours); away_m <= least_m) {
                least_m = away_m;
                nearest = k;
            }
        }
        if (nearest) {
            walls.push_back({.neighbor = i, .ours = *nearest});
        }
    }
    return walls;
}

} // namespace trenchwright
