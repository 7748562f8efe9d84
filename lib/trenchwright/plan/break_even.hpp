#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// At which rate the two best outlets change places in price: one sentence a rate, for the routes as they are planned.
std::vector<std::string> break_even(const JobPlan& plan);

} // namespace trenchwright
