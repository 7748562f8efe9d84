#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/corridor.hpp"
#include "trenchwright/profile/grades.hpp"
#include "trenchwright/profile/problem.hpp"
#include "trenchwright/profile/turns.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

/// A place along the route with the figure that decides there.
struct Worst {
    double station_m = 0;
    double by_m = 0;
};

/// Least room over the least-fall line itself.
Worst min_spare(const Corridor& corridor)
{
    Worst worst{.station_m = 0, .by_m = std::numeric_limits<double>::infinity()};
    for (const auto& room : corridor.rooms) {
        if (room.max_m < worst.by_m - rounding_m) {
            worst = {.station_m = room.station_m, .by_m = room.max_m};
        }
    }
    return worst;
}

/// By how much the cut limit is missed at the worst place by inverts that high.
Worst excess_depth(const Corridor& corridor, const std::vector<Room>& highest)
{
    Worst worst{.station_m = 0, .by_m = -std::numeric_limits<double>::infinity()};
    for (std::size_t i = 0; i < highest.size(); ++i) {
        const double excess = corridor.rooms[i].min_m - highest[i].max_m;
        if (excess > worst.by_m + rounding_m) {
            worst = {.station_m = corridor.rooms[i].station_m, .by_m = excess};
        }
    }
    return worst;
}

/// What the cheapest straight pipe without a cut limit misses it by.
Worst excess_depth_of_straight_pipe(const Corridor& corridor, const ProfileProblem& problem)
{
    Corridor unlimited = corridor;
    for (auto& room : unlimited.rooms) {
        room.min_m = 0;
    }
    const auto heights = cheapest_heights(unlimited, problem.invert_step_m, problem.min_joint_saving);
    if (!heights) {
        throw Error(ErrorKind::internal, "profile: the least-fall line fits and was not found");
    }
    auto pipe = corridor.rooms;
    std::size_t piece = 1;
    for (std::size_t i = 0; i < pipe.size(); ++i) {
        piece += i > (*heights)[piece].room ? 1 : 0;
        pipe[i].max_m = height_between_m(corridor, (*heights)[piece - 1], (*heights)[piece], i);
    }
    return excess_depth(corridor, pipe);
}

Refusal refusal(RefusalKind kind, const Worst& worst)
{
    return {.kind = kind, .text = {}, .at = {}, .station_m = worst.station_m, .short_by_m = worst.by_m};
}

Refusal too_deep(const Corridor& corridor, const ProfileProblem& problem)
{
    auto worst = excess_depth(corridor, tightened(corridor));
    if (!(worst.by_m > rounding_m)) {
        worst = excess_depth_of_straight_pipe(corridor, problem);
    }
    return refusal(RefusalKind::too_deep, worst);
}

Profile profile_of(const ProfileProblem& problem, const Corridor& corridor, const std::vector<Height>& heights)
{
    Profile profile;
    for (const auto& height : heights) {
        const double station = corridor.rooms[height.room].station_m;
        profile.points.push_back({.station_m = station,
                                  .invert_elev_m = problem.lowest_outlet_invert_elev_m +
                                                   problem.min_fall_ratio * station + height.height_m});
    }
    profile.dig_cost = dig_cost(problem, profile.points);
    return profile;
}

} // namespace

std::variant<Profile, Refusal> lay_profile(const ProfileProblem& problem)
{
    check_problem(problem);
    const Corridor corridor = corridor_of(problem);
    const Worst spare = min_spare(corridor);
    if (!(spare.by_m >= -rounding_m)) {
        return refusal(RefusalKind::falls_short, {.station_m = spare.station_m, .by_m = -spare.by_m});
    }
    const auto heights = cheapest_heights(corridor, problem.invert_step_m, problem.min_joint_saving);
    if (!heights) {
        return too_deep(corridor, problem);
    }
    // What a break changes by less than a step is the grid's doing, not the ground's.
    auto kept = without_needless_breaks(corridor, *heights, problem.invert_step_m);
    auto profile = profile_of(problem, corridor, with_priced_turns(problem, corridor, std::move(kept)));
    profile.min_spare_m = spare.by_m;
    profile.min_spare_station_m = spare.station_m;
    return profile;
}

} // namespace trenchwright
