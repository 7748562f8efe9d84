#pragma once

#include "trenchwright/profile/corridor.hpp"
#include "trenchwright/profile/grades.hpp"

#include <vector>

namespace trenchwright {

/// Heights that cost no more than the given ones when each change of grade is paid for.
///
/// The programme behind cheapest_heights knows the height at a break but not the grade it came with, so it cannot price
/// a turn. Here its answer is weighed against its answers in corridors whose upper edge climbs less and less steeply,
/// and each of them is bettered by single moves: a break left out, a break or two neighbors lifted or lowered. No
/// proof of the least is given; never worse than `heights`, and unchanged where no turn of theirs has a price.
/// @param heights  of cheapest_heights in this corridor
std::vector<Height> with_priced_turns(const ProfileProblem& problem, const Corridor& corridor,
                                      std::vector<Height> heights);

} // namespace trenchwright
