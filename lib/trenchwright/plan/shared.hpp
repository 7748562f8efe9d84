#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/plan/eased.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// A pump's line under pressure all the way to the outlet, for where gravity does not serve; or in words why there is
/// none.
std::variant<TrenchPlan, std::string> plan_pressure(const RoutePreps& preps, const Site& site, const Ground& ground,
                                                    const Rules& rules, std::size_t source, std::size_t outlet);

/// All sources to one outlet in one drain, worked out; or in words why there is none.
/// @param easing  what its trenches take as trenches of their own
std::variant<std::vector<TrenchPlan>, std::string> plan_shared(const RoutePreps& preps, const Site& site,
                                                               const Ground& ground, const Rules& rules,
                                                               std::size_t outlet, const Easing& easing);

} // namespace trenchwright
