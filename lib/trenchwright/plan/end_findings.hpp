#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/ground/ground.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// Where a trench takes its ground from elsewhere than a shot beneath it: beyond the edge of the surveyed ground, and
/// at a curb by the outlet's record, with a warning where the survey says otherwise.
std::vector<Finding> end_findings(const TrenchPlan& trench, const Site& site, const Ground& ground, const Rules& rules);

} // namespace trenchwright
