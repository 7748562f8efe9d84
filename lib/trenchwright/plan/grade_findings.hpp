#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// Changes of grade that no fittings make, drops, and steep pipe with its anchors.
std::vector<Finding> grade_findings(const TrenchPlan& trench, const Rules& rules);

} // namespace trenchwright
