#pragma once

#include "trenchwright/draw/plan_sheet.hpp"
#include "trenchwright/asbuilt/as_built.hpp"

#include <vector>

namespace trenchwright {

/// The record of what was laid: the same sheets as the plan's, with the planned pipe dashed, the measured one in full
/// between measured places, and what differs. Stretches not measured are drawn as such.
/// @param measured  of the drawn outlet, as read_measured gives it
/// @throws Error (internal) when cairo fails
SheetFiles record_files(const JobPlan& plan, const std::vector<MeasuredTrench>& measured);

} // namespace trenchwright
