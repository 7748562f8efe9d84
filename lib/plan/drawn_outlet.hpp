#pragma once

#include "plan/plan.hpp"

#include <vector>

namespace trenchwright {

/// The outlet whose sheets are drawn: the one the job names, else the best that works; nullptr when none works.
/// @throws Error (input) for an outlet the job names and that is unknown or refused
const OutletOutcome* drawn_outlet(const JobPlan& plan);

/// Its trenches in the order of the sources; none for nullptr.
std::vector<const TrenchPlan*> trenches_of(const OutletOutcome* outcome);

} // namespace trenchwright
