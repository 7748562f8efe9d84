#include "trenchwright/plan/lot_sides.hpp"

#include "trenchwright/geom/measure.hpp"

#include <numbers>

namespace trenchwright {

namespace {

constexpr double straight_rad = 0.1 * std::numbers::pi / 180;

Ring corners_of(const Ring& ring)
{
    Ring corners;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const auto& before = ring[(i + ring.size() - 1) % ring.size()];
        if (turn_rad(before, ring[i], ring[(i + 1) % ring.size()]) > straight_rad) {
            corners.push_back(ring[i]);
        }
    }
    return corners;
}

} // namespace

std::vector<Polyline> lot_sides(const Site& site)
{
    std::vector<Polyline> sides;
    for (const auto& lot : site.parcel) {
        const auto corners = corners_of(lot.outer);
        for (std::size_t i = 0; corners.size() > 2 && i < corners.size(); ++i) {
            sides.push_back({corners[i], corners[(i + 1) % corners.size()]});
        }
    }
    return sides;
}

} // namespace trenchwright
