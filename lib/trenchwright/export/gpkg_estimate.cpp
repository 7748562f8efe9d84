#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/gpkg_table.hpp"

#include <utility>
#include <variant>

namespace trenchwright {

namespace {

/// A line of the estimate of one outlet.
struct ShownLine {
    const Outlet* outlet = nullptr;
    long long rank = 0;
    const EstimateLine* line = nullptr;
};

OutTable<ShownLine> lines_table()
{
    OutTable<ShownLine> table;
    table.column("outlet", [](const auto& shown) { return shown.outlet->id; })
        .column("rank", [](const auto& shown) { return shown.rank; })
        .column("trench",
                [](const auto& shown) {
                    return shown.line->trench.empty() ? std::nullopt : std::optional(shown.line->trench);
                })
        .column("item", [](const auto& shown) { return line_key(*shown.line); })
        .column("name", [](const auto& shown) { return shown.line->name; })
        .column("quantity", [](const auto& shown) { return shown.line->quantity; })
        .column("unit", [](const auto& shown) { return unit_of(shown.line->per, UnitSystem::metric); })
        .column("rate_low", [](const auto& shown) { return shown.line->rate.low; })
        .column("rate", [](const auto& shown) { return shown.line->rate.likely; })
        .column("rate_high", [](const auto& shown) { return shown.line->rate.high; })
        .column("cents_low", [](const auto& shown) { return shown.line->cents.low; })
        .column("cents", [](const auto& shown) { return shown.line->cents.likely; })
        .column("cents_high", [](const auto& shown) { return shown.line->cents.high; });
    return table;
}

} // namespace

OutLayer estimate_lines_layer(const JobPlan& plan)
{
    const auto table = lines_table();
    OutLayer layer{.name = "estimate_lines",
                   .description = "Every amount of money of the outlets that work; no trench: of the job as a whole.",
                   .geometry = OutGeometry::none,
                   .fields = table.fields(),
                   .features = {}};
    long long rank = 0;
    for (const auto& outcome : plan.outcomes) {
        ++rank;
        if (!outcome.estimate) {
            continue;
        }
        for (const auto& line : outcome.estimate->lines) {
            const ShownLine shown{.outlet = &plan.site.outlets.at(outcome.outlet), .rank = rank, .line = &line};
            layer.features.push_back({.shape = std::monostate(), .values = table.row(shown)});
        }
    }
    return layer;
}

} // namespace trenchwright
