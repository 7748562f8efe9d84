#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/plan_layers.hpp"

namespace trenchwright {

namespace {

struct Placed {
    const ShownTrench& shown;
    const Cleanout& cleanout;
};

} // namespace

OutLayer cleanouts_layer(const std::vector<ShownTrench>& trenches)
{
    OutTable<Placed> table;
    table.column("outlet", [](const Placed& of) { return of.shown.outlet->id; })
        .column("rank", [](const Placed& of) { return of.shown.rank; })
        .column("source", [](const Placed& of) { return of.shown.plan->site.sources.at(of.shown.trench->source).id; })
        .column("station",
                [](const Placed& of) { return station_text(of.cleanout.station_m, of.shown.plan->job.rules.units); })
        .column("station_m", [](const Placed& of) { return of.cleanout.station_m; })
        .column("upper_end", [](const Placed& of) { return of.cleanout.reason == CleanoutReason::upper_end; });
    OutLayer layer{.name = "cleanouts",
                   .description = "Where a drain can be opened for cleaning.",
                   .geometry = OutGeometry::point,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& shown : trenches) {
        for (const auto& cleanout : shown.trench->laid.cleanouts) {
            layer.features.push_back(
                {.shape = cleanout.at, .values = table.row({.shown = shown, .cleanout = cleanout})});
        }
    }
    return layer;
}

OutLayer footing_drain_layer(const JobPlan& plan)
{
    OutTable<FootingDrain> table;
    table.column("id", [](const FootingDrain& drain) { return drain.id; });
    OutLayer layer{.name = "footing_drain",
                   .description = "Pipe along the footing, inside; as the job's layer has it.",
                   .geometry = OutGeometry::line,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& drain : plan.site.footing_drains) {
        layer.features.push_back({.shape = drain.line, .values = table.row(drain)});
    }
    return layer;
}

} // namespace trenchwright
