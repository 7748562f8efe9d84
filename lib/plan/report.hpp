#pragma once

#include "plan/plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// Columns of running text in the report.
inline constexpr std::size_t page_width = 100;

/// A table in plain text: columns padded to their widest cell, two blanks between, no trailing blanks.
/// @param right  columns set to the right (figures)
std::string text_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right);

/// Text broken at blanks to `width` columns, every line but the first indented by `indent`.
std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

/// The report's section on one trench.
std::string trench_text(const JobPlan& plan, const TrenchPlan& trench);

/// The report's section on the water of one outlet's drain: reaches from the top down, then its pumps.
std::string drain_water_text(const JobPlan& plan, const OutletOutcome& outcome);
// The sections on the job inside, empty without one, and on what has to be bought. In report_footing.cpp.
std::string inside_text(const JobPlan& plan);
std::string through_wall_text(const JobPlan& plan);
std::string materials_text(const JobPlan& plan, const OutletOutcome& outcome);
/// Which outlet the sheets are drawn for and what the checklist misses on them; empty when none is drawn.
std::string sheets_text(const JobPlan& plan);

} // namespace trenchwright
