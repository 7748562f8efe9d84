#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// What stands over the cures on every paper: for which sources they are, and that they are no leave.
std::string cure_terms(const OutletOutcome& outcome);
/// How many trenches a change for the whole outlet is priced with.
std::size_t refused_sources(const OutletOutcome& outcome);
/// A cure in one line, with the price of the trenches that it lets be dug.
std::string cure_line(const Cure& cure, std::size_t trenches, const std::string& currency);
/// What would let a refused outlet work, a line each: the changes that serve every source, else those of each source;
/// one line where none was found. Empty where the outlet works or none was looked for.
std::vector<std::string> cure_lines(const JobPlan& plan, const OutletOutcome& outcome);
/// Of report.txt: why each source is refused, and what would let it work.
std::string refusals_text(const JobPlan& plan, const OutletOutcome& outcome);

} // namespace trenchwright
