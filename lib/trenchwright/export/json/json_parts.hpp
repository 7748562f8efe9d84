#pragma once

#include "trenchwright/export/json/json_value.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/potholes.hpp"

#include <optional>

namespace trenchwright {

/// Parts of plan.json, one function per object of docs/plan-json.md.
/// A place as [x, y] in the frame's native unit.
JsonValue json_place(const Frame& frame, const Point& at);
JsonValue json_place(const Frame& frame, const std::optional<Point>& at);
JsonList json_line(const Frame& frame, const Polyline& line);
/// @param line  places the findings that state a station only; may be empty
JsonList json_findings(const Frame& frame, const std::vector<Finding>& findings, const Polyline& line);

/// @param help  of the same source; nothing where none was looked for
JsonObject json_refusal(const Site& site, const Refusal& refusal, const RefusalHelp* help);
JsonList json_cures(const Site& site, const std::vector<Cure>& cures);
JsonObject json_trench(const Site& site, const TrenchPlan& trench);
JsonList json_reaches(const TrenchPlan& trench, const WaterRules& rules);
/// null without a checked pump
JsonValue json_pump(const TrenchPlan& trench);
JsonValue json_pipe_load(const OutletOutcome& outcome);

/// Crossings, what runs along marks, potholes, and the corners that tapes are held at.
void add_record(JsonObject& crossing, const CrossingRecord& record);
/// Polygons as lists of rings of places, outer ring first, the first place not repeated.
JsonList json_areas(const Frame& frame, const std::vector<Polygon>& areas);
JsonObject json_ties(const TapeTies& ties);
JsonList json_along(const Site& site, const TrenchPlan& trench);
JsonList json_corners(const JobPlan& plan);
JsonList json_potholes(const JobPlan& plan, const OutletOutcome& outcome);

/// The job inside, cleanouts, wall core, material list; null for what there is none of.
JsonValue json_footing(const Site& site, const std::optional<FootingWork>& footing);
JsonList json_cleanouts(const Site& site, const std::vector<Cleanout>& cleanouts);
JsonValue json_wall_core(const Site& site, const std::optional<WallCore>& core);
/// Safety of one trench, and the yard.
JsonObject json_safety(const Site& site, const TrenchSafety& safety);
JsonObject json_yard(const JobPlan& plan);
/// What the job costs, null for an outlet that does not work.
JsonValue json_estimate(const std::optional<Estimate>& made);
/// Price of one trench: null where there is none.
JsonValue json_price(const std::optional<CentSpread>& price);
JsonValue json_uncertainty(const Site& site, const std::optional<OutletUncertainty>& uncertainty);
JsonList json_choices(const JobPlan& plan);
JsonList json_break_even(const JobPlan& plan);
/// What was asked for and what is missing.
JsonList json_supplied(const std::vector<SuppliedItem>& items);
JsonList json_materials(const std::vector<MaterialItem>& materials);

} // namespace trenchwright
