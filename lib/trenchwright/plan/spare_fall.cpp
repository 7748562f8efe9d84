#include "trenchwright/plan/spare_fall.hpp"

#include "trenchwright/profile/corridor.hpp"

#include <algorithm>

namespace trenchwright {

bool rests_on_ground(const Outlet& outlet)
{
    return !outlet.lowest_invert_elev_m && (outlet.kind == OutletKind::popup || outlet.kind == OutletKind::swale);
}

SpareFall spare_fall(const ProfileProblem& problem, bool from_lid)
{
    const auto rooms = corridor_of(problem).rooms;
    auto from = rooms.begin();
    while (from_lid && from + 1 != rooms.end() && (from + 1)->most_m > from->most_m) {
        ++from;
    }
    const auto least = std::min_element(from, rooms.end(),
                                        [](const Room& a, const Room& b) { return a.most_m < b.most_m - rounding_m; });
    return {.room_m = least->most_m, .station_m = least->station_m};
}

} // namespace trenchwright
