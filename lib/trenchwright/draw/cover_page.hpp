#pragma once

#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// cover.pdf: one page for the office, with the checklist of what the reviewer asks for: what fills each item and what
/// the sheets lack.
/// @param shown  what is on the sheets
/// @throws Error (input) as drawn_outlet; Error (internal) when cairo fails
std::string cover_pdf(const JobPlan& plan, const DrawnThings& shown);

void draw_cover(Canvas& canvas, const JobPlan& plan, const DrawnThings& shown);

} // namespace trenchwright
