#pragma once

#include <string>

namespace trenchwright {

struct JobPlan;

/// Two planned jobs side by side: outlets of the same id, what the best costs, and the settings that differ.
std::string compare_text(const JobPlan& a, const JobPlan& b);

} // namespace trenchwright
