#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// What the crew and the office must know about one trench; stations along it.
std::vector<Finding> trench_findings(const TrenchPlan& trench, const Site& site, const Ground& ground,
                                     const Rules& rules);

} // namespace trenchwright
