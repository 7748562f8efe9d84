#pragma once

#include "trenchwright/plan/plan.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Index into Job::pumps for each source; nothing for a downspout and for a pump without a [pump] table.
/// @throws Error (input) for a table whose source is unknown, no pump, or has a table already
std::vector<std::optional<std::size_t>> pumps_by_source(const Job& job, const Site& site);

/// What a source sends: roof area x design rain x coefficient, or the pump's stated flow.
/// @return nothing when the rain is not supplied or the source states no roof area or no pump flow
std::optional<double> source_flow_m3ps(const Source& source, const WaterRules& rules);

/// Works out the water of one outlet's drain: fills in TrenchPlan::reaches and ::pump and adds their findings.
///
/// A trench is cut into reaches where others join it. Each carries all that enters above it: nothing is lost or made
/// at a junction, checked in tests/water_test.cpp. A pump with a table sends what it moves in this line, or its stated
/// flow where that is more. A source that was refused sends nothing. A pipe never gets smaller downstream.
/// @throws Error (internal) for a trench that joins one that is not there, or for junctions in a circle
void add_water(OutletOutcome& outcome, const Site& site, const Job& job);

/// What hydraulics knows of a listed pipe, and of the one that the drain is planned with.
PipeBore bore_of(const PipeChoice& pipe, const WaterRules& rules);
PipeBore planned_bore(const Rules& rules);

/// A gravity reach with its water in the planned pipe and in the smallest listed one.
/// @param least_bore_m  of the pipes above it; 0 at the top
Reach with_pipes(Reach reach, double least_bore_m, const Rules& rules);

/// The pump of a trench in its line. A trench that is not yet told apart as a pump's line is taken as one.
PumpCheck check_pump(const TrenchPlan& trench, const PumpRecord& pump, std::size_t index, const WaterRules& rules);

/// What is wrong with the water of one trench; stations along it.
std::vector<Finding> reach_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);
std::vector<Finding> pump_findings(const TrenchPlan& trench, const Job& job);

/// What is missing to judge the water at all, and pits that would float. Once for the job.
std::vector<Finding> water_findings(const Site& site, const Job& job);

/// The pit against ground water up to its rim.
Uplift pit_uplift(const PumpRecord& pump, const UpliftRules& rules);

} // namespace trenchwright
