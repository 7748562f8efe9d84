#pragma once

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/yard.hpp"

#include <vector>

namespace trenchwright {

/// Findings of the site and the job, of no single trench.
/// @param outcomes  one for each outlet
std::vector<Finding> job_findings(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes,
                                  const YardOutcome& yard);

} // namespace trenchwright
