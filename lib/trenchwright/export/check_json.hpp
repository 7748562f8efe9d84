#pragma once

#include "trenchwright/plan/check_job.hpp"

#include <string>

namespace trenchwright {

/// What a check found, for programs: `name`, `readable`, and `faults` with `grade`, `check`, `file`, `layer`,
/// `feature`, `at` (in the frame's native unit), `value`, `what`, `why`, `advice`; null for what there is none of.
/// @throws Error (input) for a text of the input that is not UTF-8
std::string check_json(const JobCheck& check, const Job& job);

} // namespace trenchwright
