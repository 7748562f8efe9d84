#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

/// Ground that is dug by hand, and because of what.
struct HandArea {
    const ShownTrench* shown = nullptr;
    Interval span;
    std::vector<std::size_t> marks;
    std::vector<std::size_t> trees;
    [[nodiscard]] const Site& site() const { return shown->plan->site; }
    [[nodiscard]] std::string station(double station_m) const
    {
        return station_text(station_m, shown->plan->job.rules.units);
    }
};

std::string listed(const std::vector<std::string>& words)
{
    return fmt::format("{}", fmt::join(words, ", "));
}

OutTable<HandArea> areas_table()
{
    OutTable<HandArea> table;
    table.column("outlet", [](const auto& area) { return area.shown->outlet->id; })
        .column("rank", [](const auto& area) { return area.shown->rank; })
        .column("source", [](const auto& area) { return area.site().sources.at(area.shown->trench->source).id; })
        .column("from_station", [](const auto& area) { return area.station(area.span.from_m); })
        .column("to_station", [](const auto& area) { return area.station(area.span.to_m); })
        .column("from_m", [](const auto& area) { return area.span.from_m; })
        .column("to_m", [](const auto& area) { return area.span.to_m; })
        .column("facilities", [](const auto& area) { return listed(facility_words(area.site(), area.marks)); })
        .column("marks", [](const auto& area) { return listed(mark_ids(area.site(), area.marks)); })
        .column("trees", [](const auto& area) { return listed(tree_ids(area.site(), area.trees)); });
    return table;
}

OutLayer empty_layer(const std::string& name, const std::string& description)
{
    return {.name = name,
            .description = description,
            .geometry = OutGeometry::polygon,
            .fields = areas_table().fields(),
            .features = {}};
}

void add(OutLayer& layer, const HandArea& area)
{
    const auto& trench = *area.shown->trench;
    for (const auto& polygon : trench_area(trench.line.route.line, area.span, trench.laid.problem.section.width_m)) {
        layer.features.push_back({.shape = polygon, .values = areas_table().row(area)});
    }
}

} // namespace

OutLayer zone_areas_layer(const std::vector<ShownTrench>& trenches)
{
    auto layer = empty_layer("zone_areas", "Trench ground dug by hand tools or vacuum only, joined along the route.");
    for (const auto& shown : trenches) {
        for (const auto& zone : shown.trench->measured.zones) {
            add(layer, {.shown = &shown, .span = zone.span, .marks = zone.marks, .trees = zone.trees});
        }
    }
    return layer;
}

OutLayer mark_areas_layer(const std::vector<ShownTrench>& trenches)
{
    auto layer = empty_layer("mark_areas", "Trench ground within the hand-dig reach of each mark by itself.");
    for (const auto& shown : trenches) {
        const auto& rules = shown.plan->job.rules.route;
        for (const auto& [mark, span] : mark_stretches(shown.plan->site, shown.trench->line.route.line, rules)) {
            add(layer, {.shown = &shown, .span = span, .marks = {mark}, .trees = {}});
        }
    }
    return layer;
}

} // namespace trenchwright
