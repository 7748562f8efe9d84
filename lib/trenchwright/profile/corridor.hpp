#pragma once

#include "trenchwright/profile/profile.hpp"

#include <vector>

namespace trenchwright {

/// Heights the invert may have at one station, above the least-fall line through the outlet's lowest invert.
///
/// Measured so, the least fall says only: never lower upstream than downstream.
struct Room {
    double station_m = 0;
    double min_m = 0; ///< by the deepest cut, what is passed over, and the outlet's lowest invert
    double max_m = 0; ///< by cover and the source; the outlet's highest invert is kept apart
};

/// A place where the grade may change.
struct BreakPlace {
    std::size_t room = 0;
    bool joint = false; ///< between two sticks; else an end or a bend
};

/// What a profile may be, stripped of elevations. Everything is straight between two rooms.
struct Corridor {
    double outlet_most_m = 0;       ///< by the outlet's highest invert, >= 0
    std::vector<Room> rooms;        ///< rising stations, first 0, last the source
    std::vector<double> cost_per_m; ///< money for lowering the pipe, per meter of depth and of length; from each
                                    ///< room to the next
    std::vector<BreakPlace> breaks; ///< rising, both ends included
};

/// @throws Error (internal) when the problem contradicts itself
/// @throws Error (input) when a stick length makes more than 2000 joints
Corridor corridor_of(const ProfileProblem& problem);

/// The rooms with what one station asks of the others: upstream rooms start no lower, downstream rooms
/// end no higher. Where min_m exceeds max_m nothing can be laid.
std::vector<Room> tightened(const Corridor& corridor);

} // namespace trenchwright
