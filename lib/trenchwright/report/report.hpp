#pragma once

#include "trenchwright/base/drawn_things.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

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
/// the estimate of one outlet; empty when it does not work.
std::string estimate_text(const JobPlan& plan, const OutletOutcome& outcome);
/// the lines of one trench and their sum, in the job's units; in words why there are none.
std::string trench_price_text(const JobPlan& plan, const TrenchPlan& trench);
/// What every price takes for granted and what no price holds, once for the report.
std::string assumptions_text(const JobPlan& plan);

/// the table side by side, who dominates whom, and the break-even.
std::string choices_text(const JobPlan& plan);

/// what was not supplied and what follows from it, then what was.
std::string supplied_text(const JobPlan& plan);
/// Spare fall against its doubt, outlet by outlet.
std::string uncertainty_text(const JobPlan& plan);
/// Which outlet the sheets are drawn for and what the checklist misses on them; empty when none is drawn.
/// @param shown  what the sheets hold
std::string sheets_text(const JobPlan& plan, const DrawnThings& shown);

/// The report's first part, which the program prints too: title, what was not supplied, the comparison, the short
/// caution.
std::string summary_text(const JobPlan& plan);

/// report.txt: the summary first, then each outlet that works, findings, missing data, cautions.
std::string report_text(const JobPlan& plan);
/// The whole report of a plan whose sheets are drawn; report_text(plan) is the same without the section on them.
std::string report_text(const JobPlan& plan, const DrawnThings& shown);

} // namespace trenchwright
