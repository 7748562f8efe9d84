#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// The lid of the pop-up by which a trench's water leaves, through whatever it joins; nothing for another outlet.
std::optional<double> lid_elev_m(const OutletOutcome& outcome, const TrenchPlan& trench, const Site& site);

/// Whether a gravity line stands full up to its wall before the lid opens.
bool stands_full(const OutletOutcome& outcome, const Site& site);

/// A lid above the invert at the wall; not where a pump's joint spills below it, which pump_joint_findings says.
std::vector<Finding> lid_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                  std::optional<double> lid_elev_m);

} // namespace trenchwright
