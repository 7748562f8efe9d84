#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// Its crossings and where it runs along marks.
std::vector<Finding> mark_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);

/// How near a structure stands to a mark, and what it ought to keep: "2.1 ft from gas G: 24 in is required", "upon ..."
std::string gap_to_mark_words(const Mark& mark, const Point& at, const Rules& rules);

} // namespace trenchwright
