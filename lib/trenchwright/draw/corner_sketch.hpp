#pragma once

#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

/// House with its corners' letters and the trenches with their numbers: not to scale, north up.
void draw_corner_sketch(Canvas& canvas, const JobPlan& plan, const OutletOutcome& outcome, const PageBox& box);

/// The letters at the corners of a plan view's buildings.
void label_corners(PlanView& view);

} // namespace trenchwright
