#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// Its crossings and where it runs along marks.
std::vector<Finding> mark_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);

} // namespace trenchwright
