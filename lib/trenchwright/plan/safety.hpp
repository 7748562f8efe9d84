#pragma once

#include "trenchwright/ground/facets.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <optional>

namespace trenchwright {

/// Everything else of safety, for each trench of an outlet, with its findings.
/// @param facets  of the ground
OutletOutcome with_safety(OutletOutcome outcome, const PlanBasis& basis, const Facets& facets);

/// The footing's bottom as an elevation; nothing where it was not stated or cannot be told. Bottom below the ground
/// outside: from where that ground is highest along the outlines, which is the careful side.
/// @throws Error (input) for a depth below a floor that is not supplied
std::optional<FootingEdge> footing_edge(const Job& job, const Site& site, const Ground& ground);

/// The way of the water from the end of a trench, over the ground as it is.
OutletAim outlet_aim(const Facets& facets, const Site& site, const Point& outlet, const Rules& rules);

} // namespace trenchwright
