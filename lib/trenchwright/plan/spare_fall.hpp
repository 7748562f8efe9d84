#pragma once

#include "trenchwright/profile/problem.hpp"
#include "trenchwright/site/site.hpp"

namespace trenchwright {

/// Fall that is left over when a trench is laid at the least fall from the outlet's lowest invert.
struct SpareFall {
    double room_m = 0;    ///< least room between that line and the highest invert allowed
    double station_m = 0; ///< where
};

/// Whether the outlet has no invert of its own, so that it lies as high as the ground there.
bool rests_on_ground(const Outlet& outlet);

/// A problem that no longer asks for more cover than the least that is taken.
ProfileProblem with_all_cover_taken(ProfileProblem problem);

/// @param from_lid  station 0 is an outlet that rests on the ground. There the room is what its own depth, cover and
///                  pipe leave, whatever the ground does; from there it grows as far as the ground rises faster than
///                  the least fall. None of that is fall, so it is looked for from the first place on where the room
///                  stops growing: a low place, or the wall.
SpareFall extra_fall(const ProfileProblem& problem, bool from_lid);

} // namespace trenchwright
