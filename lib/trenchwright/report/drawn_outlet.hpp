#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// The outlet whose trenches the papers show: the one the job names, else the best that works; nullptr when that one,
/// or every one, is refused: nothing is dug then.
/// @throws Error (input) for an outlet the job names and that is unknown
const OutletOutcome* drawn_outlet(const JobPlan& plan);

/// Where there is none: the refused outlet that plan and sheets show instead, with what it lacks: the one the job
/// names, else the one that comes nearest.
const OutletOutcome* drawn_refusal(const JobPlan& plan);

/// Why no trench is shown: "No workable outlet", or that the outlet named is not workable.
std::string no_trench_text(const JobPlan& plan);

} // namespace trenchwright
