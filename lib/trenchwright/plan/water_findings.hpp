#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// What is wrong with the water of one trench; stations along it.
std::vector<Finding> reach_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);

/// What is missing to judge the water at all, and pits that would float. Once for the job.
std::vector<Finding> water_findings(const Site& site, const Job& job);

} // namespace trenchwright
