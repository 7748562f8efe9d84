#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The outlets of a plan in its order, under the name of a variant.
std::vector<Choice> choices_of(const JobPlan& plan, const std::string& variant);

/// Marks each choice that another one dominates; of several, the first named. Compared are price, hours, permission,
/// lead time, hand digging, chance of draining, warnings, STOPs, water that stands in the line or ponds on the lot, and
/// whether the pipe carries its flow; what is not known counts as worst.
/// @param names  of the outlets
void mark_dominated(std::vector<Choice>& choices, const std::vector<std::string>& names);

/// Every outlet as planned and, where compare.variants says so, by each variant, with those marked that are dominated.
/// @param outcomes  of the basis, ranked
std::vector<Choice> compared(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes);

} // namespace trenchwright
