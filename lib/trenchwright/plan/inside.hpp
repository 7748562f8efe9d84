#pragma once

#include "trenchwright/plan/plan.hpp"

#include <vector>

namespace trenchwright {

/// Fills in what follows from the planned trenches and the footing work: wall core of each trench, the material list of
/// each outlet that works, and the findings about them.
/// @throws Error
void add_inside_work(JobPlan& plan);

/// What the crew must know about the job inside and about the wall.
std::vector<Finding> inside_findings(const JobPlan& plan);

/// The trenches of an outlet as the material list takes them; a junction is bought at junction.angle, the joints take
/// up what its branch differs.
std::vector<MaterialTrench> material_trenches(const OutletOutcome& outcome, const Site& site, const Rules& rules);

} // namespace trenchwright
