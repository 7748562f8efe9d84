#pragma once

#include "trenchwright/page/canvas.hpp"
#include "trenchwright/draw/sheet_parts.hpp"

namespace trenchwright {

/// What is drawn for a plan: its outlet, trenches and paper. @throws Error (input) as drawn_outlet
SheetSet sheet_set(const JobPlan& plan);

/// The same for a record. @param measured  outlives the set
SheetSet record_set(const JobPlan& plan, const std::vector<MeasuredTrench>& measured);

/// Draws every sheet on a blank canvas, a page each. @return where its plans lie
std::vector<PlanOnPaper> draw_sheets(Canvas& canvas, const SheetSet& set);

} // namespace trenchwright
