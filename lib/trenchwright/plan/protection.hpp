#pragma once

#include "trenchwright/dig/excavation.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// Exits and protection with what they cost; bored lengths are taken out of the hand digging. After measuring, before
/// the price.
void add_protection(TrenchPlan& trench, const Site& site, const Rules& rules);

/// The whole trench by runs of straight cut, with those marked whose sides are sloped.
std::vector<CutRun> runs_of_trench(const TrenchPlan& trench);
Heap heap_of(const TrenchPlan& trench, const Rules& rules);

} // namespace trenchwright
