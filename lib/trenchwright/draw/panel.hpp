#pragma once

#include "trenchwright/draw/legend.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// A heading with a thin rule under it. @return where the next thing may start
double draw_heading(Canvas& canvas, const PageBox& box, const std::string& text);

/// The outlets, best first, with the figures that decide and the reasons of the refused ones.
/// @return the lower end
double draw_comparison(Canvas& canvas, const JobPlan& plan, const PageBox& box);

/// What is dug and paid for each trench of the best outlet, then what belongs to no trench, then the total, which is
/// the price of the comparison: rows of eight cells, the price last. None without a trench.
std::vector<std::vector<std::string>> quantity_rows(const JobPlan& plan);
/// The same as a table. @return the lower end
double draw_quantities(Canvas& canvas, const JobPlan& plan, const PageBox& box);

/// Comparison, quantities, legend, cautions in full, and as many findings as there is room for.
void draw_panel(Canvas& canvas, const JobPlan& plan, const Legend& legend, const PageBox& box);

} // namespace trenchwright
