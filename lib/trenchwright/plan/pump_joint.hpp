#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Whether the joint of a pump's line lies below the lid, so that the water leaves there and not by the lid.
bool spills_below(const TrenchPlan& trench, const Site& site, const Rules& rules, double lid_elev_m);

/// Where the pump's line can let water out when it is frozen or blocked, if anywhere, and whether it does so before
/// the lid opens. Nothing for a downspout.
std::vector<Finding> pump_joint_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                         std::optional<double> lid_elev_m = std::nullopt);

} // namespace trenchwright
