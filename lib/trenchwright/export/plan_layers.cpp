#include "trenchwright/export/plan_layers.hpp"

#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/geom/stretch.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <utility>
#include <variant>

namespace trenchwright {

namespace {

/// Something of a trench: a depth, a zone, a crossing, the trench itself.
template <class Item> struct Of {
    const ShownTrench& shown;
    const Item& item;
    [[nodiscard]] const Site& site() const { return shown.plan->site; }
    [[nodiscard]] const Polyline& line() const { return shown.trench->line.route.line; }
    [[nodiscard]] std::string station(double station_m) const
    {
        return station_text(station_m, shown.plan->job.rules.units);
    }
};

template <class Item> OutTable<Of<Item>> table_of_trench()
{
    OutTable<Of<Item>> table;
    table.column("outlet", [](const auto& of) { return of.shown.outlet->id; })
        .column("rank", [](const auto& of) { return of.shown.rank; })
        .column("source", [](const auto& of) { return of.site().sources.at(of.shown.trench->source).id; });
    return table;
}

template <class Item> void add_member(OutTable<Of<Item>>& table, std::string name, auto Item::* member)
{
    table.column(std::move(name), [member](const Of<Item>& of) { return of.item.*member; });
}

/// Likely sum of the trench's lines in estimate_lines.
std::optional<long long> price_cents(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto price = trench_price(plan, trench);
    return price ? std::optional<long long>(price->likely) : std::nullopt;
}

OutTable<Of<TrenchPlan>> route_table()
{
    auto table = table_of_trench<TrenchPlan>();
    table.column("outlet_name", [](const auto& of) { return of.shown.outlet->name; })
        .column("outlet_state",
                [](const auto& of) {
                    const auto place = static_cast<std::size_t>(of.shown.rank - 1);
                    return state_word(state_of(of.shown.plan->outcomes.at(place)));
                })
        .column("permission", [](const auto& of) { return permission_name(of.item.permission); })
        .column("length_m", [](const auto& of) { return of.item.measured.quantities.length_m; })
        .column("hand_length_m",
                [](const auto& of) {
                    const auto dig = hand_dig(of.site(), of.item);
                    return dig.known ? std::optional(dig.length_m) : std::nullopt;
                })
        .column("hand_at_least_m", [](const auto& of) { return of.item.measured.quantities.hand_length_m; })
        .column("max_cut_m", [](const auto& of) { return of.item.measured.quantities.max_cut_m; })
        .column("extra_fall_m", [](const auto& of) { return of.item.laid.extra_fall_m; })
        .column("outlet_invert_elev_m",
                [](const auto& of) { return of.item.laid.profile.points.front().invert_elev_m; })
        .column("source_invert_elev_m", [](const auto& of) { return of.item.laid.profile.points.back().invert_elev_m; })
        .column("price_cents", [](const auto& of) { return price_cents(*of.shown.plan, of.item); });
    return table;
}

OutTable<Of<Depth>> stations_table()
{
    auto table = table_of_trench<Depth>();
    table.column("station", [](const auto& of) { return of.station(of.item.station_m); });
    add_member(table, "station_m", &Depth::station_m);
    add_member(table, "ground_elev_m", &Depth::ground_elev_m);
    add_member(table, "invert_elev_m", &Depth::invert_elev_m);
    add_member(table, "cut_m", &Depth::cut_m);
    add_member(table, "cover_m", &Depth::cover_m);
    add_member(table, "fall_ratio", &Depth::fall_ratio);
    table.column("by_hand", [](const auto& of) { return known_by_hand(of.site(), of.item); });
    return table;
}

OutTable<Of<HandDigZone>> zones_table()
{
    auto table = table_of_trench<HandDigZone>();
    table.column("from_station", [](const auto& of) { return of.station(of.item.span.from_m); })
        .column("to_station", [](const auto& of) { return of.station(of.item.span.to_m); })
        .column("from_m", [](const auto& of) { return of.item.span.from_m; })
        .column("to_m", [](const auto& of) { return of.item.span.to_m; })
        .column("length_m", [](const auto& of) { return of.item.span.to_m - of.item.span.from_m; })
        .column(
            "facilities",
            [](const auto& of) { return fmt::format("{}", fmt::join(facility_words(of.site(), of.item.marks), ", ")); })
        .column("marks",
                [](const auto& of) { return fmt::format("{}", fmt::join(mark_ids(of.site(), of.item.marks), ", ")); })
        .column("trees",
                [](const auto& of) { return fmt::format("{}", fmt::join(tree_ids(of.site(), of.item.trees), ", ")); });
    add_member(table, "volume_m3", &HandDigZone::volume_m3);
    return table;
}

const Mark& mark_of(const Of<Crossing>& of)
{
    return of.site().marks.at(of.item.mark);
}

OutTable<Of<Crossing>> crossings_table()
{
    auto table = table_of_trench<Crossing>();
    table.column("station", [](const auto& of) { return of.station(of.item.station_m); });
    add_member(table, "station_m", &Crossing::station_m);
    table.column("angle_deg", [](const auto& of) { return angle_deg(of.item.angle_rad); })
        .column("mark", [](const auto& of) { return mark_of(of).id; })
        .column("probable", [](const auto& of) { return mark_of(of).probable(); })
        .column("facility", [](const auto& of) { return facility_name(mark_of(of).facility); })
        .column("color", [](const auto& of) { return mark_code(mark_of(of).facility).color; })
        .column("letters", [](const auto& of) { return mark_code(mark_of(of).facility).letters; })
        .column("quality", [](const auto& of) { return quality_word(mark_of(of)); })
        .column("depth", [](const auto& of) { return depth_word(of.item); })
        .column("depth_m", [](const auto& of) { return known_depth_m(of.item); })
        .column("hand_from_m", [](const auto& of) { return of.item.hand_span.from_m; })
        .column("hand_to_m", [](const auto& of) { return of.item.hand_span.to_m; });
    add_member(table, "formula_length_m", &Crossing::formula_length_m);
    add_member(table, "ground_elev_m", &Crossing::ground_elev_m);
    add_member(table, "pipe_top_elev_m", &Crossing::pipe_top_elev_m);
    add_member(table, "trench_bottom_elev_m", &Crossing::trench_bottom_elev_m);
    return table;
}

struct LayerName {
    std::string name;
    std::string description;
    OutGeometry geometry = OutGeometry::point;
};

/// One feature for each item of each trench.
template <class Item, class Items, class Shape>
OutLayer layer_of(const LayerName& named, const std::vector<ShownTrench>& trenches, const OutTable<Of<Item>>& table,
                  Items items, Shape shape)
{
    OutLayer layer{.name = named.name,
                   .description = named.description,
                   .geometry = named.geometry,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& shown : trenches) {
        for (const Item& item : items(*shown.trench)) {
            const Of<Item> of{.shown = shown, .item = item};
            layer.features.push_back({.shape = shape(of), .values = table.row(of)});
        }
    }
    return layer;
}

Point3 station_place(const Of<Depth>& of)
{
    const auto at = stretch_of(of.line(), {.from_m = of.item.station_m, .to_m = of.item.station_m}).front();
    return {.x_m = at.x_m, .y_m = at.y_m, .elev_m = of.item.invert_elev_m};
}

} // namespace

std::vector<ShownTrench> ranked_trenches(const JobPlan& plan)
{
    std::vector<ShownTrench> trenches;
    long long rank = 0;
    for (const auto& outcome : plan.outcomes) {
        ++rank;
        for (const auto& answer : outcome.by_source) {
            if (const auto* trench = std::get_if<TrenchPlan>(&answer); trench != nullptr && outcome.works) {
                trenches.push_back(
                    {.plan = &plan, .outlet = &plan.site.outlets.at(outcome.outlet), .trench = trench, .rank = rank});
            }
        }
    }
    return trenches;
}

OutLayer route_layer(const std::vector<ShownTrench>& trenches)
{
    return layer_of<TrenchPlan>(
        {.name = "route",
         .description = "Pipe by invert, from the outlet up to the source.",
         .geometry = OutGeometry::line_with_elev},
        trenches, route_table(), [](const TrenchPlan& trench) { return std::span(&trench, 1); },
        [](const auto& of) { return laid_line(of.line(), of.item.laid.profile.points); });
}

OutLayer stations_layer(const std::vector<ShownTrench>& trenches)
{
    return layer_of<Depth>(
        {.name = "stations",
         .description = "Depths along each trench; elevation is the invert.",
         .geometry = OutGeometry::point_with_elev},
        trenches, stations_table(), [](const auto& trench) -> auto& { return trench.measured.depths; }, station_place);
}

OutLayer zones_layer(const std::vector<ShownTrench>& trenches)
{
    return layer_of<HandDigZone>(
        {.name = "zones", .description = "Stretches dug by hand tools or vacuum only.", .geometry = OutGeometry::line},
        trenches, zones_table(), [](const auto& trench) -> auto& { return trench.measured.zones; },
        [](const auto& of) { return stretch_of(of.line(), of.item.span); });
}

OutLayer crossings_layer(const std::vector<ShownTrench>& trenches)
{
    return layer_of<Crossing>(
        {.name = "crossings",
         .description = "Where a trench meets a mark; no depth_m means depth unknown.",
         .geometry = OutGeometry::point},
        trenches, crossings_table(), [](const auto& trench) -> auto& { return trench.measured.crossings; },
        [](const auto& of) { return of.item.at; });
}

} // namespace trenchwright
