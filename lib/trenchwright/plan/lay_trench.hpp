#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>

namespace trenchwright {

/// Lays the profile: past every facility at a known depth, with its gap; a pump's line at the least cover.
/// @return why it cannot be laid: in words where a gap cannot be kept, otherwise as lay_profile; nothing when it is
std::optional<Refusal> lay_trench(TrenchPlan& trench, const Site& site, const Rules& rules);

} // namespace trenchwright
