#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/plan/eased.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <variant>
#include <vector>

namespace trenchwright {

/// Works out one source to one outlet: route, profile, quantities, findings.
///
/// Planned with drain.min_extra_fall to spare where that can be had, else with less and a warning; and where nothing
/// drains under the cover wanted, under the lowest that the ground covers take. A curb too low for the drain's pipe is
/// met by a smaller one behind a reducer. Where no trench keeps clear of our footing, one that does except on its way
/// out of the wall, else one that does not. What was taken is in the trench.
std::variant<TrenchPlan, Refusal> plan_trench(const RoutePreps& preps, const Site& site, const Ground& ground,
                                              const Rules& rules, std::size_t source, std::size_t outlet);

/// What that takes in all for the trenches planned: a drain of them takes it too.
Easing easing_of(const std::vector<const TrenchPlan*>& trenches, const Rules& rules);

/// A trench on its line, with the problem its profile has to solve; nothing laid yet.
TrenchPlan on_route(Route route, const Site& site, const Ground& ground, const Rules& rules, std::size_t source,
                    std::size_t outlet);

/// Makes the profile keep the whole cover wanted as far as its fall allows; for a plan with a lower one.
void want_cover(TrenchPlan& trench, const Site& site, const Rules& wanted);

/// What laid trenches are chosen by: the sum of their lines in the estimate, and the deterrent of running along marks,
/// which is never billed.
double laid_price(const std::vector<const TrenchPlan*>& trenches, const Site& site, const Rules& rules,
                  const RateBook& book);

/// Everything after the route, for the profile laid.
void measure_and_price_trench(TrenchPlan& trench, const Site& site, const Rules& rules);

} // namespace trenchwright
