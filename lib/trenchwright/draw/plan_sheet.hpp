#pragma once

#include "trenchwright/base/drawn_things.hpp"
#include "trenchwright/base/placed_pdf.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// Sheets as files; in SVG and PNG they stand below each other.
struct SheetFiles {
    PlacedPdf pdf;
    std::string svg;
    std::string png;
    DrawnThings shown; ///< on them, as noted while they were drawn
};

/// The sheets of one outlet (drawn_outlet): plan and profile, then what has no room beside them. Drawn once for all
/// three. The same bytes for the same plan.
/// @throws Error (input) as drawn_outlet; Error (internal) when cairo fails
SheetFiles sheet_files(const JobPlan& plan);

} // namespace trenchwright
