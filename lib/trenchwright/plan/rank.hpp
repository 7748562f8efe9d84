#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// 0 yes, 1 ask, 2 unstated or no: the worst that an outlet says of the sources' kinds of water.
int permission_step(const Site& site, const Outlet& outlet);

/// The outcomes in order, each with the step of ranking_rules() that placed it.
std::vector<OutletOutcome> ranked(std::vector<OutletOutcome> outcomes, const Site& site);

/// Rules of ranking, as printed: step by step.
const std::vector<std::string>& ranking_rules();

} // namespace trenchwright
