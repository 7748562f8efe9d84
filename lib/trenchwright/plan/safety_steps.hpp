#pragma once

#include "trenchwright/plan/plan.hpp"

#include <string>
#include <vector>

/// Steps of add_safety. Internal to the module.
namespace trenchwright {

/// The whole trench by runs of straight cut, with those marked whose sides are sloped.
std::vector<CutRun> runs_of_trench(const TrenchPlan& trench);
Heap heap_of(const TrenchPlan& trench, const Rules& rules);

/// The footing's bottom as an elevation; nothing where it was not stated or cannot be told. Bottom below the ground
/// outside: from where that ground is highest along the outlines, which is the careful side.
/// @throws Error (input) for a depth below a floor that is not supplied
std::optional<FootingEdge> footing_edge(const Job& job, const Site& site, const Ground& ground);

/// The way of the water from the end of a trench, over the ground as it is.
OutletAim outlet_aim(const Facets& facets, const Site& site, const Point& outlet, const Rules& rules);

struct YardOutcome {
    YardWork work;
    std::vector<Finding> doubts; ///< of the proposed spots
};
/// Grading between the two surfaces, walls, spreading, and the trench along the footing inside.
YardOutcome yard_work(const JobPlan& plan, const Facets& facets);

} // namespace trenchwright
