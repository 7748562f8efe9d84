#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/plan/not_supplied.hpp"

#include <algorithm>
#include <iterator>
#include <utility>
#include <variant>

namespace trenchwright {

namespace {

/// A finding or a refusal as the map shows it.
struct Pin {
    std::string severity;
    std::string rule;
    std::string text;
    std::string outlet; ///< empty: of the site or the job
    std::optional<long long> rank;
    std::string source;
    std::optional<double> station_m;
    std::optional<Point> at;
};

Pin pin_of(const Finding& finding, const Polyline& line)
{
    Pin pin;
    pin.severity = severity_word(finding.severity);
    pin.rule = finding.rule;
    pin.text = finding.text;
    pin.station_m = finding.station_m;
    pin.at = place_of(finding, line);
    return pin;
}

Pin pin_of(const Refusal& refusal)
{
    Pin pin;
    pin.severity = "refused";
    pin.rule = refusal_word(refusal.kind);
    pin.text = refusal.text;
    pin.station_m = refusal.station_m;
    pin.at = refusal.at;
    return pin;
}

Pin owned(Pin pin, const Outlet& outlet, long long rank, const Source& source)
{
    pin.outlet = outlet.id;
    pin.rank = rank;
    pin.source = source.id;
    return pin;
}

std::vector<Pin> refusal_pins(const JobPlan& plan)
{
    std::vector<Pin> pins;
    long long rank = 0;
    for (const auto& outcome : plan.outcomes) {
        ++rank;
        for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
            if (const auto* refusal = std::get_if<Refusal>(&outcome.by_source[i])) {
                pins.push_back(
                    owned(pin_of(*refusal), plan.site.outlets.at(outcome.outlet), rank, plan.site.sources.at(i)));
            }
        }
    }
    return pins;
}

std::vector<Pin> pins_of(const JobPlan& plan, const std::vector<ShownTrench>& trenches)
{
    std::vector<Pin> pins;
    for (const auto& finding : plan.findings) {
        pins.push_back(pin_of(finding, {}));
    }
    for (const auto& shown : trenches) {
        for (const auto& finding : shown.trench->findings) {
            pins.push_back(owned(pin_of(finding, shown.trench->line.route.line), *shown.outlet, shown.rank,
                                 plan.site.sources.at(shown.trench->source)));
        }
    }
    auto refusals = refusal_pins(plan);
    pins.insert(pins.end(), std::make_move_iterator(refusals.begin()), std::make_move_iterator(refusals.end()));
    return pins;
}

OutTable<Pin> pin_table()
{
    OutTable<Pin> table;
    table.column("severity", [](const Pin& pin) { return pin.severity; })
        .column("rule", [](const Pin& pin) { return pin.rule; })
        .column("text", [](const Pin& pin) { return pin.text; })
        .column("outlet", [](const Pin& pin) { return pin.outlet; })
        .column("rank", [](const Pin& pin) { return pin.rank; })
        .column("source", [](const Pin& pin) { return pin.source; })
        .column("station_m", [](const Pin& pin) { return pin.station_m; });
    return table;
}

struct Line {
    long long number = 0;
    std::string text;
};

} // namespace

OutLayer findings_layer(const JobPlan& plan, const std::vector<ShownTrench>& trenches)
{
    const auto table = pin_table();
    OutLayer layer{.name = "findings",
                   .description = "Doubts and refusals that have a place; plan.json holds all of them.",
                   .geometry = OutGeometry::point,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& pin : pins_of(plan, trenches)) {
        if (pin.at) {
            layer.features.push_back({.shape = *pin.at, .values = table.row(pin)});
        }
    }
    return layer;
}

OutLayer cautions_layer(const JobPlan& plan)
{
    OutTable<Line> table;
    table.column("number", [](const Line& line) { return line.number; }).column("text", [](const Line& line) {
        return line.text;
    });
    auto texts = cautions();
    std::ranges::move(not_supplied_lines(plan), std::back_inserter(texts));
    OutLayer layer{.name = "cautions",
                   .description = "Read these first. Never permission to dig.",
                   .geometry = OutGeometry::none,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& text : texts) {
        const auto number = static_cast<long long>(layer.features.size()) + 1;
        layer.features.push_back({.shape = std::monostate(), .values = table.row({.number = number, .text = text})});
    }
    return layer;
}

} // namespace trenchwright
