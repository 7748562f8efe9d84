#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

/// The outcome with what follows from its trenches inside and at the wall: wall cores, the material list where it
/// works, findings about them.
OutletOutcome with_inside_work(OutletOutcome outcome, const PlanBasis& basis);

/// What the crew must know about the job inside and about the wall.
std::vector<Finding> inside_findings(const PlanBasis& basis);

/// The trenches of an outlet as the material list takes them; a junction is bought at junction.angle, the joints take
/// up what its branch differs.
std::vector<MaterialTrench> material_trenches(const OutletOutcome& outcome, const Site& site, const Rules& rules);

} // namespace trenchwright
