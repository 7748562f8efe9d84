#pragma once

#include "trenchwright/ground/facets.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <vector>

namespace trenchwright {

struct YardOutcome {
    YardWork work;
    std::vector<Finding> doubts; ///< of the proposed spots
};
/// Grading between the two surfaces, walls, spreading, and the trench along the footing inside.
YardOutcome yard_work(const PlanBasis& basis, const Facets& facets);
/// Findings of the yard and of the trench along the footing inside.
std::vector<Finding> yard_findings(const PlanBasis& basis, const YardWork& yard);

/// Dirt left over, spread evenly over the areas for it.
struct SpreadDirt {
    double area_m2 = 0;
    double loose_m3 = 0;  ///< what the trenches of one outlet leave over
    double loose_m = 0;   ///< thickness as spread
    double settled_m = 0; ///< as it will be, by swell and shrink
};
SpreadDirt spread_of(const JobPlan& plan, const OutletOutcome& outcome);

} // namespace trenchwright
