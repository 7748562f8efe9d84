#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// cut-sheet.csv: the level sheets of the drawn outlet, trench by trench in digging order; then one row for each
/// caution. Heights and lengths in the job's units, with the unit in the column's name. Only the head and the cautions
/// where no workable outlet.
/// @throws Error (input) as drawn_outlet and cut_sheets
std::string cut_sheet_csv(const JobPlan& plan);

} // namespace trenchwright
