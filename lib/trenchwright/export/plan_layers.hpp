#pragma once

#include "trenchwright/gis/write.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// A trench that goes on the map: one of an outlet that works.
struct ShownTrench {
    const JobPlan* plan = nullptr;
    const Outlet* outlet = nullptr;
    const TrenchPlan* trench = nullptr;
    long long rank = 0; ///< 1 is the best outlet
};
/// By rank, then in the order of the sources. They point into the plan.
std::vector<ShownTrench> ranked_trenches(const JobPlan& plan);

/// Layers of plan.gpkg. Attributes in SI with the unit in the name; every row says outlet, rank and source.
OutLayer route_layer(const std::vector<ShownTrench>& trenches);
OutLayer stations_layer(const std::vector<ShownTrench>& trenches);
OutLayer zones_layer(const std::vector<ShownTrench>& trenches);
OutLayer crossings_layer(const std::vector<ShownTrench>& trenches);
OutLayer zone_areas_layer(const std::vector<ShownTrench>& trenches);
OutLayer mark_areas_layer(const std::vector<ShownTrench>& trenches);
/// Straight on from marks that stop, which nobody marked; see with_probable_runs.
OutLayer probable_runs_layer(const JobPlan& plan);
OutLayer potholes_layer(const JobPlan& plan);
OutLayer cleanouts_layer(const std::vector<ShownTrench>& trenches);
OutLayer footing_drain_layer(const JobPlan& plan);
/// Findings with a place, of the job and of the trenches shown, and refusals with a place.
OutLayer findings_layer(const JobPlan& plan, const std::vector<ShownTrench>& trenches);
/// A table without places: the cautions, then what no marks were supplied for.
OutLayer cautions_layer(const JobPlan& plan);
/// A table without places: the lines of every estimate, of which all prices are sums.
OutLayer estimate_lines_layer(const JobPlan& plan);
/// A table without places: everything that was asked for, supplied or not.
OutLayer supplied_layer(const JobPlan& plan);

/// All of them, in the order of plan.gpkg.
std::vector<OutLayer> plan_layers(const JobPlan& plan);

/// The line with its inverts as elevations: a point at each vertex and at each grade break.
std::vector<Point3> laid_line(const Polyline& line, const std::vector<GradePoint>& grades);

} // namespace trenchwright
