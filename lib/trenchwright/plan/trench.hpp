#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <variant>

namespace trenchwright {

/// Works out one source to one outlet: route, profile, quantities, findings.
///
/// Planned with drain.least_spare_fall to spare where that can be had, else with less and a warning.
std::variant<TrenchPlan, Refusal> plan_trench(const RoutePrep& prep, const Site& site, const Ground& ground,
                                              const Rules& rules, std::size_t source, std::size_t outlet);

/// A trench on its line, with the problem its profile has to solve; nothing laid yet.
TrenchPlan on_route(Route route, const Site& site, const Ground& ground, const Rules& rules, std::size_t source,
                    std::size_t outlet);

/// Everything after the route, for the profile laid.
void measure_and_price_trench(TrenchPlan& trench, const Site& site, const Rules& rules);

} // namespace trenchwright
