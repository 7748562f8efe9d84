#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>

namespace trenchwright {

/// What a source sends: roof area x design rain x coefficient, or the pump's stated flow.
/// @return nothing when the rain is not supplied or the source states no roof area or no pump flow
std::optional<double> source_flow_m3ps(const Source& source, const WaterRules& rules);

/// The outcome with the water of its drain: TrenchWater of each trench, and their findings.
///
/// A trench is cut into reaches where others join it. Each carries all that enters above it: nothing is lost or made
/// at a junction, checked in tests/water_test.cpp. A pump with a table sends what it moves in this line, or its stated
/// flow where that is more. A source that was refused sends nothing. A pipe never gets smaller downstream.
/// @throws Error (internal) for a trench that joins one that is not there, or for junctions in a circle
OutletOutcome with_water(OutletOutcome outcome, const Site& site, const Job& job);

} // namespace trenchwright
