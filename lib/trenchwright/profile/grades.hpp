#pragma once

#include "trenchwright/profile/corridor.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Height above the least-fall line at a room.
struct Height {
    std::size_t room = 0;
    double height_m = 0;
    friend bool operator==(const Height&, const Height&) = default;
};

/// Least-cost heights at breaks, never falling upstream, in the corridor everywhere.
///
/// Dynamic programming over (break, height in steps): straight pieces run between any two breaks of one
/// straight run, so the work grows with the square of the joints in a run and with the corridor's height in steps.
/// A tie goes to the longer piece, then to the higher pipe.
/// @param joint_price  money a break at a joint must save; breaks elsewhere are free
/// @return nothing when no such heights exist on the steps
/// @throws Error (input) when the corridor is more than 100 000 steps high at a break: a coarser step is the
///         caller's decision
std::optional<std::vector<Height>> cheapest_heights(const Corridor& corridor, double step_m, double joint_price);

/// On the straight piece from a to b.
double height_between_m(const Corridor& corridor, const Height& a, const Height& b, std::size_t room);

/// Leaves out every break at which the pipe is straight to within `slack_m`, as far as the corridor
/// allows; no grade falls below the least by it.
std::vector<Height> without_needless_breaks(const Corridor& corridor, const std::vector<Height>& heights,
                                            double slack_m);

} // namespace trenchwright
