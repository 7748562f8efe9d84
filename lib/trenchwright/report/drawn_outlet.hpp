#pragma once

#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

/// The outlet whose sheets are drawn: the one the job names, else the best that works; nullptr when none works.
/// @throws Error (input) for an outlet the job names and that is unknown or refused
const OutletOutcome* drawn_outlet(const JobPlan& plan);

} // namespace trenchwright
