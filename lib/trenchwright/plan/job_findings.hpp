#pragma once

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/yard.hpp"

#include <vector>

namespace trenchwright {

/// Findings of the site and the job, of no single trench.
/// @param outcomes  one for each outlet
std::vector<Finding> job_findings(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes,
                                  const YardOutcome& yard);

/// One for each layer that the job names and whose file holds no features.
std::vector<Finding> empty_layers(const Site& site);

} // namespace trenchwright
