#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// A picture as files.
struct OverviewFiles {
    std::string svg;
    std::string png;
};

/// The overview picture: plan with marks, zones, stations and routes of the outlet that the papers show (drawn_outlet;
/// when none works, the site alone with the refusals), profiles of its trenches below, true to scale, with bar, north
/// arrow, legend of what is drawn and the cautions.
/// @return the same bytes for the same plan. @throws Error (input) as drawn_outlet; Error (internal) when
/// cairo fails
OverviewFiles overview_files(const JobPlan& plan);

} // namespace trenchwright
