#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// Findings of one trench, once with_safety has filled in its figures.
std::vector<Finding> safety_findings(const PlanBasis& basis, const TrenchPlan& trench);

} // namespace trenchwright
