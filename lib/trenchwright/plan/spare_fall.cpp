#include "trenchwright/plan/spare_fall.hpp"

#include "trenchwright/profile/corridor.hpp"

#include <algorithm>

namespace trenchwright {

bool rests_on_ground(const Outlet& outlet)
{
    return !outlet.lowest_invert_elev_m && (outlet.kind == OutletKind::popup || outlet.kind == OutletKind::swale);
}

ProfileProblem with_all_cover_taken(ProfileProblem problem)
{
    problem.wanted_cover_m.clear();
    return problem;
}

SpareFall extra_fall(const ProfileProblem& problem, bool from_lid)
{
    const auto rooms = corridor_of(with_all_cover_taken(problem)).rooms;
    auto from = rooms.begin();
    while (from_lid && from + 1 != rooms.end() && (from + 1)->max_m > from->max_m) {
        ++from;
    }
    const auto least = std::min_element(from, rooms.end(),
                                        [](const Room& a, const Room& b) { return a.max_m < b.max_m - rounding_m; });
    return {.room_m = least->max_m, .station_m = least->station_m};
}

} // namespace trenchwright
