#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/json/json_parts.hpp"

namespace trenchwright {

JsonList json_supplied(const std::vector<SuppliedItem>& items)
{
    return json_list(items, [](const SuppliedItem& item) -> JsonValue {
        return JsonObject{{"group", item.group},
                          {"item", item.item},
                          {"supplied", item.supplied},
                          {"state", item.state},
                          {"effect", item.effect}};
    });
}

OutLayer supplied_layer(const JobPlan& plan)
{
    OutTable<SuppliedItem> table;
    table.column("part", [](const SuppliedItem& item) { return item.group; })
        .column("item", [](const SuppliedItem& item) { return item.item; })
        .column("supplied", [](const SuppliedItem& item) { return item.supplied; })
        .column("state", [](const SuppliedItem& item) { return item.state; })
        .column("effect", [](const SuppliedItem& item) { return item.effect; });
    OutLayer layer{.name = "supplied",
                   .description = "What was asked for, what is missing, and what follows from that.",
                   .geometry = OutGeometry::none,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& item : plan.supplied) {
        layer.features.push_back({.shape = std::monostate(), .values = table.row(item)});
    }
    return layer;
}

} // namespace trenchwright
