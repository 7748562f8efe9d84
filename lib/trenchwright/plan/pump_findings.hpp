#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// What is wrong with the pump of one trench and its line; stations along it.
std::vector<Finding> pump_findings(const TrenchPlan& trench, const Job& job);

} // namespace trenchwright
