#pragma once

#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

/// What hydraulics knows of a listed pipe, and of the one that the drain is planned with.
PipeBore bore_of(const PipeChoice& pipe, const WaterRules& rules);
PipeBore planned_bore(const Rules& rules);

/// The settings that plan a job with a listed pipe.
std::vector<RuleText> rules_of_pipe(const PipeChoice& pipe);

/// A gravity reach with its water in the planned pipe and in the smallest listed one.
/// @param min_bore_m  of the pipes above it; 0 at the top
Reach with_pipes(Reach reach, double min_bore_m, const Rules& rules);

} // namespace trenchwright
