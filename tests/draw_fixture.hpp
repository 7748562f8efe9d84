#pragma once

#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright::test {

/// A made-up lot of 60 x 100 ft with a house, a street to the south and two trenches, filled in by hand: the drawing
/// takes values only, so nothing here is planned.
JobPlan yard_plan(UnitSystem units);
/// The same lot with every outlet refused.
JobPlan refused_plan();
/// The same lot with no utility mark at all.
JobPlan unmarked_plan();

} // namespace trenchwright::test
