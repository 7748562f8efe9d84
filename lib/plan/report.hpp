#pragma once

#include "plan/drawn_things.hpp"
#include "plan/plan.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// Columns of running text in the report.
inline constexpr std::size_t page_width = 100;

/// A table in plain text: columns padded to their widest cell, two blanks between, no trailing blanks.
/// @param right  columns set to the right (figures)
std::string text_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right);

/// The same within `width` columns: cells of the widest columns are broken at blanks into several lines. Only words
/// longer than their share of the width make it wider.
std::string fitted_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right,
                         std::size_t width);

/// Text broken at blanks to `width` columns, every line but the first indented by `indent`.
std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

/// A line of text, underlined.
std::string heading(const std::string& text);

/// "STOP", "Warning", "Note".
std::string_view spoken(Severity severity);

/// A key as people write it: with blanks for its underscores.
std::string spoken(std::string key);

/// The report's section on one trench.
std::string trench_text(const JobPlan& plan, const TrenchPlan& trench);

// The sections on crossings and on potholes, empty without any. In report_marks.cpp.
std::string crossing_records_text(const JobPlan& plan, const TrenchPlan& trench);
std::string potholes_text(const JobPlan& plan, const OutletOutcome& outcome);
/// Part of it: footing, spoil, trees, setbacks, where the water goes. In report_safety.cpp.
std::string safety_text(const JobPlan& plan, const TrenchPlan& trench);
/// Grading, spreading; empty where there is nothing to say. In report_safety.cpp.
std::string yard_text(const JobPlan& plan);

/// The report's section on the water of one outlet's drain: reaches from the top down, then its pumps.
std::string drain_water_text(const JobPlan& plan, const OutletOutcome& outcome);
// The sections on the job inside, empty without one, and on what has to be bought. In report_footing.cpp.
std::string inside_text(const JobPlan& plan);
std::string through_wall_text(const JobPlan& plan);
std::string materials_text(const JobPlan& plan, const OutletOutcome& outcome);
/// Which outlet the sheets are drawn for and what the checklist misses on them; empty when none is drawn.
/// @param shown  what the sheets hold
std::string sheets_text(const JobPlan& plan, const DrawnThings& shown);

/// The whole report of a plan whose sheets are drawn; report_text(plan) is the same without the section on them.
std::string report_text(const JobPlan& plan, const DrawnThings& shown);

} // namespace trenchwright
