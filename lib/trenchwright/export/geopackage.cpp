#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/private_file.hpp"
#include "trenchwright/plan/not_supplied.hpp"

#include <utility>

namespace trenchwright {

namespace {

/// Whoever finds the layer empty reads there which marks it could not be made from.
OutLayer by_the_marks(OutLayer layer, const JobPlan& plan)
{
    if (const auto missing = missing_marks_line(plan.site, plan.no_marks_for); !missing.empty()) {
        layer.description += " " + missing;
    }
    return layer;
}

} // namespace

std::vector<OutLayer> plan_layers(const JobPlan& plan)
{
    const auto trenches = ranked_trenches(plan);
    const auto by_marks = [&](OutLayer layer) { return by_the_marks(std::move(layer), plan); };
    return {
        route_layer(trenches),
        stations_layer(trenches),
        by_marks(zones_layer(trenches)),
        by_marks(crossings_layer(trenches)),
        by_marks(zone_areas_layer(trenches)),
        by_marks(mark_areas_layer(trenches)),
        by_marks(potholes_layer(plan)),
        probable_runs_layer(plan),
        cleanouts_layer(trenches),
        footing_drain_layer(plan),
        findings_layer(plan, trenches),
        cautions_layer(plan),
        supplied_layer(plan),
        estimate_lines_layer(plan),
    };
}

void write_plan_gpkg(const JobPlan& plan, const std::filesystem::path& file)
{
    write_geopackage(file, plan.site.frame, plan_layers(plan));
}

std::string plan_gpkg_bytes(const JobPlan& plan)
{
    return bytes_of_file("plan.gpkg", [&](const auto& file) { write_plan_gpkg(plan, file); });
}

} // namespace trenchwright
