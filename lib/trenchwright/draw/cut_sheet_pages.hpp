#pragma once

#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// cut-sheet.pdf: the level sheets of the drawn outlet on letter or A4, landscape, to be filled in at the trench.
/// @throws Error (input) as drawn_outlet and cut_sheets; Error (internal) when cairo fails
std::string cut_sheet_pdf(const JobPlan& plan);

/// Letter or A4, landscape, by the paper of the sheets.
PageSize cut_sheet_paper(const Rules& rules);
/// Draws every page. @param pages  as they are stated; 0 while they are being counted @return how many
std::size_t draw_cut_sheets(Canvas& canvas, const JobPlan& plan, std::size_t pages);

} // namespace trenchwright
