#include "trenchwright/export/exchange/exchange_layers.hpp"

#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <map>

namespace trenchwright {

namespace {

/// Titles by layer; a field's name in braces stands for its value.
const std::map<std::string_view, std::string_view>& titles()
{
    static const std::map<std::string_view, std::string_view> all{
        {"route", "Trench from {source} to {outlet_name}"},
        {"stations", "Station {station}"},
        {"zones", "Hand dig {from_station} to {to_station}"},
        {"crossings", "{facility} {mark} at {station}, depth {depth}"},
        {"zone_areas", "Hand-dig ground {from_station} to {to_station}"},
        {"mark_areas", "Within hand-dig reach of {facilities} {marks}"},
        {"potholes", "Pothole {facility} {mark} at {station}"},
        {"cleanouts", "Cleanout {station}"},
        {"footing_drain", "Footing drain {id}"},
        {"findings", "{severity}: {rule}"},
        {"marks", "{facility} {id}"},
        {"probable_runs", "Probable run of {facility} {continues}, not marked: ask for a re-mark"},
        {"cautions", "Caution {number}"},
    };
    return all;
}

/// The words of a value; NULL has none.
struct Words {
    std::string operator()(std::monostate /*nothing*/) const { return {}; }
    std::string operator()(const std::string& text) const { return text; }
    std::string operator()(const auto& figure) const { return fmt::format("{}", figure); }
};

OutTable<Mark> marks_table()
{
    OutTable<Mark> table;
    table.column("id", [](const Mark& mark) { return mark.id; })
        .column("facility", [](const Mark& mark) { return facility_name(mark.facility); })
        .column("color", [](const Mark& mark) { return mark_code(mark.facility).color; })
        .column("letters", [](const Mark& mark) { return mark_code(mark.facility).letters; })
        .column("quality", [](const Mark& mark) { return quality_word(mark); })
        .column("width_m", [](const Mark& mark) { return mark.width_m; })
        .column("depth", [](const Mark& mark) { return mark.exposed_depth_m ? "exposed" : "unknown"; })
        .column("depth_m", [](const Mark& mark) { return mark.exposed_depth_m; })
        .column("position_accuracy_m", [](const Mark& mark) { return mark.position_accuracy_m; })
        .column("date_marked", [](const Mark& mark) { return mark.date_marked; })
        .column("may_cross", [](const Mark& mark) { return mark.may_cross; });
    return table;
}

} // namespace

OutLayer marks_layer(const JobPlan& plan)
{
    const auto table = marks_table();
    OutLayer layer{.name = "marks",
                   .description = "Lines as located; position only, no depth_m means depth unknown.",
                   .geometry = OutGeometry::line,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& mark : supplied_marks(plan.site)) {
        layer.features.push_back({.shape = mark.line, .values = table.row(mark)});
    }
    return layer;
}

std::vector<OutLayer> of_drawn_outlet(std::vector<OutLayer> layers, const JobPlan& plan)
{
    const auto* outcome = drawn_outlet(plan);
    const auto drawn = outcome == nullptr ? std::string() : plan.site.outlets[outcome->outlet].id;
    for (auto& layer : layers) {
        std::erase_if(layer.features, [&](const OutFeature& feature) {
            const auto outlet = value_text(layer, feature, "outlet");
            return !outlet.empty() && outlet != drawn;
        });
    }
    return layers;
}

std::string value_text(const OutLayer& layer, const OutFeature& feature, std::string_view field)
{
    const auto found = std::ranges::find(layer.fields, field, &OutField::name);
    if (found == layer.fields.end()) {
        return {};
    }
    return std::visit(Words(), feature.values.at(static_cast<std::size_t>(found - layer.fields.begin())));
}

std::string title_of(const OutLayer& layer, const OutFeature& feature)
{
    std::string title;
    const auto pattern = titles().at(layer.name);
    for (std::size_t at = 0; at < pattern.size();) {
        const auto end = pattern[at] == '{' ? pattern.find('}', at) : pattern.find('{', at);
        const auto part = pattern.substr(at, end - at);
        title += pattern[at] == '{' ? value_text(layer, feature, part.substr(1)) : std::string(part);
        at = end == std::string_view::npos ? pattern.size() : end + (pattern[at] == '{' ? 1 : 0);
    }
    return title;
}

std::optional<Facility> facility_of(const OutLayer& layer, const OutFeature& feature)
{
    const auto one = value_text(layer, feature, "facility");
    return facility_named(one.empty() ? value_text(layer, feature, "facilities") : one);
}

Polyline flat(const std::vector<Point3>& line)
{
    Polyline on_ground;
    for (const auto& at : line) {
        on_ground.push_back(flat(at));
    }
    return on_ground;
}

Polyline wound(Ring ring, bool anticlockwise)
{
    if ((signed_area_m2(ring) > 0) != anticlockwise) {
        std::ranges::reverse(ring);
    }
    return closed(ring);
}

std::vector<std::string> exchange_cautions(const JobPlan& plan)
{
    std::vector<std::string> texts;
    if (const auto* outcome = drawn_outlet(plan)) {
        for (const auto& alert : full_alerts(plan, *outcome)) {
            if (alert.severity == Severity::stop) {
                texts.push_back(alert.text);
            }
        }
    }
    std::ranges::copy(cautions(), std::back_inserter(texts));
    std::ranges::move(not_supplied_lines(plan), std::back_inserter(texts));
    return texts;
}

std::vector<std::string> world_notes(const JobPlan& plan)
{
    auto notes = exchange_cautions(plan);
    notes.emplace_back("A hand-held satellite receiver may be several meters off. Set out by the tape ties of the cut "
                       "sheet, never by these places alone.");
    if (const double off_m = site_world(plan).accuracy_m(); off_m > 0) {
        notes.push_back(fmt::format("The way from the survey's system to WGS 84 may be off by {}.",
                                    length_text(off_m, plan.job.rules.units)));
    }
    return notes;
}

std::string drawn_text(const JobPlan& plan)
{
    const auto* outcome = drawn_outlet(plan);
    return outcome == nullptr ? no_trench_text(plan) + ": no trench is shown."
                              : fmt::format("Outlet drawn: {}.", plan.site.outlets[outcome->outlet].name);
}

} // namespace trenchwright
