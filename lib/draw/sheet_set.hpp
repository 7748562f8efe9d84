#pragma once

#include "draw/canvas.hpp"
#include "draw/sheet_parts.hpp"

namespace trenchwright {

/// What is drawn for a plan: its outlet, trenches and paper. @throws Error (input) as drawn_outlet
SheetSet sheet_set(const JobPlan& plan);

/// Draws every sheet, from the canvas's first page on. @return how many
std::size_t draw_sheets(Canvas& canvas, const SheetSet& set);

} // namespace trenchwright
