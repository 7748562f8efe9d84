#include "export/gpkg_layers.hpp"
#include "export/plan_files.hpp"
#include "export/private_file.hpp"

namespace trenchwright {

std::vector<OutLayer> plan_layers(const JobPlan& plan)
{
    const auto trenches = ranked_trenches(plan);
    return {
        route_layer(trenches),      stations_layer(trenches),       zones_layer(trenches), crossings_layer(trenches),
        zone_areas_layer(trenches), mark_areas_layer(trenches),     potholes_layer(plan),  cleanouts_layer(trenches),
        footing_drain_layer(plan),  findings_layer(plan, trenches), cautions_layer(plan),  supplied_layer(plan),
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
