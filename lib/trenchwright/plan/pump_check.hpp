#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Index into Job::pumps for each source; nothing for a downspout and for a pump without a [pump] table.
/// @throws Error (input) for a table whose source is unknown, no pump, or has a table already
std::vector<std::optional<std::size_t>> pumps_by_source(const Job& job, const Site& site);

/// The pump of a trench in its line. A trench that is not yet told apart as a pump's line is taken as one.
PumpCheck check_pump(const TrenchPlan& trench, const PumpRecord& pump, std::size_t index, const WaterRules& rules);

/// The pit against ground water up to its rim.
Uplift pit_uplift(const PumpRecord& pump, const UpliftRules& rules);

} // namespace trenchwright
