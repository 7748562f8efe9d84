#pragma once

#include "trenchwright/plan/cure_knobs.hpp"

namespace trenchwright {

/// Places about an outlet that is a point, a number of steps away, of which the rules allow water to be led to one: the
/// lowest ground where the outlet lies as high as the ground. Nothing where no such place is allowed.
inline constexpr double move_step_m = 0.25;
std::optional<Point> place_about(const CureTrials& trials, int steps);

/// A stretch of a line whose ground would have to be raised so that the pipe drains to the outlet as it is.
struct RaisedGround {
    Interval span;     ///< from the first to the last place raised
    double most_m = 0; ///< at the place that decides
    TrenchPlan trench; ///< laid under the raised ground, to the outlet as it is
    Point at;          ///< the place that decides
};
/// @return nothing under paving, beyond rules.cures.max_raise_m, or where raised ground alone does not help
std::optional<RaisedGround> raised_ground(const CureTrials& trials, const JustDrains& drains);

} // namespace trenchwright
