#pragma once

#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

/// 17 x 11 in, landscape.
inline constexpr PageSize sheet_size{.width_pt = 17 * 72, .height_pt = 11 * 72};

/// Draws the whole overview. The same calls make the SVG and the PNG.
void draw_sheet(Canvas& canvas, const JobPlan& plan);

} // namespace trenchwright
