#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// What hydraulics knows of a listed pipe.
PipeBore bore_of(const PipeChoice& pipe, const WaterRules& rules);

/// The settings that plan a job with a listed pipe.
std::vector<RuleText> rules_of_pipe(const PipeChoice& pipe);

/// The pipe that a reach is planned with: the drain's own, or the smaller one of an end in a curb that the reach holds.
struct PlannedPipe {
    std::string name;
    PipeBore bore;
};
PlannedPipe planned_pipe(const TrenchPlan& trench, const Reach& reach, const Rules& rules);

/// A gravity reach of the trench with its water in the planned pipe and in the smallest listed one.
/// @param min_bore_m  of the pipes above it; 0 at the top
Reach with_pipes(const TrenchPlan& trench, Reach reach, double min_bore_m, const Rules& rules);

} // namespace trenchwright
