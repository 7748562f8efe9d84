#pragma once

#include "plan/plan.hpp"

#include <string>

namespace trenchwright {

/// The overview picture: plan with marks, zones, stations and routes of the best outlet (or, when none works, the
/// site alone with the refusals), profiles of its trenches below, true to scale, with bar, north arrow, legend
/// of what is drawn and the cautions.
/// @return the file's bytes; the same bytes for the same plan. @throws Error (internal) when cairo fails
std::string overview_svg(const JobPlan& plan);
std::string overview_png(const JobPlan& plan);

} // namespace trenchwright
