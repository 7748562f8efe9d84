#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// crew.html: the drawn outlet for a phone at the trench, in one file that asks the network for nothing. Plan to move
/// and zoom, each station's cut, rod and method, the lines to expose in digging order, ticks kept in the browser, the
/// whole level sheet as a table for print and screen readers.
/// @throws Error (input) as drawn_outlet and cut_sheets
std::string crew_page(const JobPlan& plan);

} // namespace trenchwright
