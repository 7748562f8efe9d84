#pragma once

#include "trenchwright/plan/check_job.hpp"

#include <string>

namespace trenchwright {

/// What a check found, for people: worst first, each with its place, what it says, why it matters and what to do.
std::string check_text(const JobCheck& check, const Job& job);

/// "cannot be read", "grave", "doubtful".
std::string_view grade_word(FaultGrade grade);

} // namespace trenchwright
