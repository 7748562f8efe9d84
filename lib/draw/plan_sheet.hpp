#pragma once

#include "base/placed_pdf.hpp"
#include "plan/plan.hpp"

#include <string>

namespace trenchwright {

/// The sheets of one outlet (drawn_outlet): plan and profile, then what has no room beside them. One drawing code makes
/// all three; in SVG and PNG the sheets stand below each other. The same bytes for the same plan.
/// @throws Error (input) as drawn_outlet; Error (internal) when cairo fails
PlacedPdf sheet_pdf(const JobPlan& plan);
std::string sheet_svg(const JobPlan& plan);
std::string sheet_png(const JobPlan& plan);

} // namespace trenchwright
