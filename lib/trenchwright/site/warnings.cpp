#include "trenchwright/site/warnings.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <limits>
#include <map>

namespace trenchwright {

namespace {

std::string place_of(const PartLayer& layer)
{
    return fmt::format("{}, layer {}", layer.use->file.filename().string(), layer.placed.data.layer);
}

Finding warning(Severity severity, std::string rule, std::string text, std::optional<Point> at = std::nullopt)
{
    return {.severity = severity, .rule = std::move(rule), .text = std::move(text), .at = at, .station_m = {}};
}

/// The text of a place that could not be read; tables keep it in a column.
std::optional<std::string> unread_place(const PartLayer& layer, const Feature& feature)
{
    const auto named = layer.use->fields.find("wkt");
    const std::string column = named == layer.use->fields.end() ? "WKT" : named->second;
    const auto same = [](char a, char b) {
        return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
    };
    for (const auto& [field, value] : feature.values) {
        if (std::equal(field.begin(), field.end(), column.begin(), column.end(), same)) {
            return value;
        }
    }
    return std::nullopt;
}

/// Furthest vertex of a shape from the lot.
struct Furthest {
    double away_m = 0;
    Point at;
};
Furthest furthest(const Shape& shape, const std::vector<Polygon>& lot)
{
    Furthest result;
    for (const auto& p : vertices_of(shape)) {
        double away_m = std::numeric_limits<double>::infinity();
        for (const auto& area : lot) {
            away_m = std::min(away_m, distance_m(p, area));
        }
        if (away_m > result.away_m) {
            result = {.away_m = away_m, .at = p};
        }
    }
    return result;
}

} // namespace

std::vector<Finding> layer_warnings(const PartLayer& layer)
{
    std::vector<Finding> found;
    const auto& placed = layer.placed;
    const auto place = place_of(layer);
    for (const auto& text : placed.data.warnings) {
        found.push_back(warning(Severity::warning, "site.file", place + ": " + text));
    }
    if (placed.system_assumed) {
        found.push_back(
            warning(Severity::note, "site.system", place + ": states no coordinate system, taken as the site's own"));
    }
    if (placed.system_ignored) {
        found.push_back(warning(Severity::note, "site.system",
                                place + ": the coordinate system it states is set aside, the job says tape offsets"));
    }
    const double unit_m = meters_per(elev_unit(*layer.use, *layer.job));
    if (const auto stated_m = placed.data.z_unit_in_m; stated_m && !(std::abs(*stated_m / unit_m - 1) < 1e-5)) {
        found.push_back(
            warning(Severity::warning, "site.elev_unit",
                    fmt::format("{}: its system counts heights in units of {:.6g} m, the job says {:.6g} m; "
                                "the job's word is taken",
                                place, *stated_m, unit_m)));
    }
    const auto curved = std::count_if(placed.data.features.begin(), placed.data.features.end(),
                                      [](const Feature& feature) { return feature.curved; });
    if (curved > 0) {
        found.push_back(
            warning(Severity::note, "site.curves",
                    fmt::format("{}: arcs in {} features are read as chords of one degree", place, curved)));
    }
    return found;
}

std::vector<Finding> datum_warnings(const std::vector<PartLayer>& layers)
{
    std::map<std::string, std::vector<const PartLayer*>> by_shift;
    for (const auto& layer : layers) {
        if (layer.placed.shift_accuracy_m) {
            by_shift[layer.placed.shift_name].push_back(&layer);
        }
    }
    std::vector<Finding> found;
    for (const auto& [name, shifted] : by_shift) {
        std::vector<std::string> places;
        for (const auto* layer : shifted) {
            if (std::ranges::find(places, place_of(*layer)) == places.end()) {
                places.push_back(place_of(*layer));
            }
        }
        found.push_back(
            warning(Severity::warning, "site.datum",
                    fmt::format("{}: brought from {} with a stated accuracy of {:.3g} m; {} places may be off by that "
                                "much against the other layers. Ask for the file in the datum of the survey, or "
                                "measure one of its features (a rim, a corner) on the lot and compare",
                                fmt::join(places, "; "), name, *shifted.front()->placed.shift_accuracy_m,
                                places.size() == 1 ? "its" : "their")));
    }
    return found;
}

void require_places(const PartLayer& layer)
{
    const auto& data = layer.placed.data;
    const auto placeless = [](const Feature& feature) { return std::holds_alternative<std::monostate>(feature.shape); };
    const auto first = std::find_if(data.features.begin(), data.features.end(), placeless);
    if (first == data.features.end()) {
        return;
    }
    const auto text = unread_place(layer, *first);
    const auto more = std::count_if(std::next(first), data.features.end(), placeless);
    throw Error(ErrorKind::input,
                fmt::format("{}: {}{}; left out it could hide a danger, so put it right or take it out of the file",
                            where(data, first->id),
                            text ? fmt::format("its place \"{}\" cannot be read", *text)
                                 : "has no place (no geometry, or one that cannot be read)",
                            more == 0 ? "" : fmt::format("; {} more of its layer are like it", more)));
}

std::vector<Finding> sentinel_warnings(const PartLayer& layer, std::string_view attribute)
{
    static constexpr std::array<double, 6> suspicious{999, -999, 9999, -9999, -99, 99999};
    std::size_t count = 0;
    long long first = 0;
    double value = 0;
    const auto look = [&](const Feature& feature, double number) {
        const bool declared = layer.use->nodata && *layer.use->nodata == number;
        if (!declared && std::find(suspicious.begin(), suspicious.end(), number) != suspicious.end()) {
            first = count == 0 ? feature.id : first;
            value = count == 0 ? number : value;
            ++count;
        }
    };
    for (const auto& feature : layer.placed.data.features) {
        const auto text = Row(layer, feature).raw(attribute);
        if (const auto number = parse_number(text.value_or("")); number.ok) {
            look(feature, number.value);
        }
        if (const auto* points = std::get_if<std::vector<ShapePoint>>(&feature.shape)) {
            look(feature, points->front().file_z.value_or(0));
        }
    }
    if (count == 0) {
        return {};
    }
    return {
        warning(Severity::warning, "site.nodata",
                fmt::format("{}: {} {} in {} features, the first is {}, looks like \"unknown\"; if so declare it as "
                            "nodata",
                            place_of(layer), attribute, value, count, first))};
}

std::vector<Finding> far_warnings(const PartLayer& layer, const std::vector<Polygon>& lot)
{
    const auto units = layer.job->print_units;
    std::size_t count = 0;
    long long first = 0;
    Furthest worst;
    for (const auto& feature : layer.placed.data.features) {
        const auto far = furthest(feature.shape, lot);
        if (lot.empty() || !(far.away_m > far_outside_m)) {
            continue;
        }
        ++count;
        if (far.away_m > worst.away_m) {
            worst = far;
            first = feature.id;
        }
    }
    if (count == 0) {
        return {};
    }
    return {warning(Severity::warning, "site.far_outside",
                    fmt::format("{}: {} of {} features reach more than {} from the lot; the furthest, feature {}, {}",
                                place_of(layer), count, layer.placed.data.features.size(),
                                length_text(far_outside_m, units), first, length_text(worst.away_m, units)),
                    worst.at)};
}

} // namespace trenchwright
