#include "trenchwright/site/read_parts.hpp"
#include "trenchwright/site/warnings.hpp"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double gpm_in_m3ps = gallon_in_m3 / 60;
constexpr double lps_in_m3ps = 1e-3;

/// "18 gpm", "1.1 l/s", "0.001 m3/s".
double flow_with_unit(const Row& row, const std::string& text)
{
    static constexpr std::array<std::pair<std::string_view, double>, 3> units{
        {{"gpm", gpm_in_m3ps}, {"l/s", lps_in_m3ps}, {"m3/s", 1}}};
    for (const auto& [unit, factor] : units) {
        if (!text.ends_with(unit)) {
            continue;
        }
        const auto number = parse_number(std::string_view(text).substr(0, text.size() - unit.size()));
        const Range range{.low = believed::flow_m3ps.low / factor, .high = believed::flow_m3ps.high / factor};
        const bool inside = number.value >= range.low && number.value <= range.high;
        if (number.ok && !inside) {
            row.stop(fmt::format("flow \"{}\" is out of range: {}", text, believed_text(range, unit)));
        }
        if (number.ok) {
            return number.value * factor;
        }
    }
    row.stop(
        fmt::format("flow \"{}\" is not a flow with its unit (gpm, l/s or m3/s); plain numbers go under flow_gpm or "
                    "flow_lps",
                    text));
}

double flow_m3ps(const Row& row)
{
    if (const auto text = row.raw("flow")) {
        return flow_with_unit(row, *text);
    }
    if (const auto gpm = row.number("flow_gpm", {.low = 0, .high = believed::flow_m3ps.high / gpm_in_m3ps}, "gpm")) {
        return *gpm * gpm_in_m3ps;
    }
    const auto lps = row.number("flow_lps", {.low = 0, .high = believed::flow_m3ps.high / lps_in_m3ps}, "l/s");
    return lps.value_or(0) * lps_in_m3ps;
}

/// 0 where none is stated; a table of pumps and downspouts may write that 0 itself.
double roof_area_m2(const Row& row)
{
    const auto text = row.raw("roof_area");
    const auto written = text ? parse_number(*text) : ParsedNumber{};
    if (written.ok && written.value == 0) {
        return 0;
    }
    const auto& layer = row.layer();
    const auto& believed = layer.job->reading;
    const auto unit = area_unit(*layer.use, *layer.job);
    const double unit_m2 = m2_per(unit);
    const auto area = row.number(
        "roof_area", {.low = believed.min_roof_area_m2 / unit_m2, .high = believed.max_roof_area_m2 / unit_m2},
        {.word = unit_word(unit),
         .hint = fmt::format("; roof areas of this layer are read as {}, see `areas` in the job file; if the figure is "
                             "right, set reading.min_roof_area or reading.max_roof_area",
                             unit_word(unit))});
    return area.value_or(0) * unit_m2;
}

SourceKind source_kind(const Row& row)
{
    const auto kind = row.choice("kind");
    if (!kind) {
        row.stop_missing("kind");
    }
    return static_cast<SourceKind>(*kind);
}

Water source_water(const Row& row, SourceKind kind)
{
    const auto water = row.choice("water");
    if (water) {
        return static_cast<Water>(*water);
    }
    return kind == SourceKind::pump ? Water::sump : Water::roof;
}

OutletKind outlet_kind(const Row& row)
{
    const auto kind = row.choice("kind");
    if (!kind) {
        row.stop_missing("kind");
    }
    return static_cast<OutletKind>(*kind);
}

std::map<Water, Permission> permissions_of(const Row& row)
{
    std::map<Water, Permission> permission;
    for (const auto water : {Water::roof, Water::sump, Water::footing}) {
        if (const auto word = row.choice(water_name(water))) {
            permission[water] = static_cast<Permission>(*word);
        }
    }
    return permission;
}

Sewer sewer_of(const Row& row)
{
    const auto word = row.choice("sewer");
    return word ? static_cast<Sewer>(*word) : Sewer::unstated;
}

void require_order(const Row& row, std::string_view low_name, std::optional<double> low_m, std::string_view high_name,
                   std::optional<double> high_m)
{
    if (low_m && high_m && !(*low_m <= *high_m)) {
        row.stop(fmt::format("{} {} lies above {} {}", low_name, row.raw(low_name).value_or(""), high_name,
                             row.raw(high_name).value_or("")));
    }
}

Outlet outlet_values(const Row& row)
{
    Outlet outlet;
    outlet.kind = outlet_kind(row);
    outlet.permission = permissions_of(row);
    outlet.sewer = sewer_of(row);
    outlet.lowest_invert_elev_m = row.elev_m("lowest_invert");
    outlet.highest_invert_elev_m = row.elev_m("highest_invert");
    outlet.gutter_elev_m = row.elev_m("gutter");
    outlet.curb_top_elev_m = row.elev_m("curb_top");
    require_order(row, "lowest_invert", outlet.lowest_invert_elev_m, "highest_invert", outlet.highest_invert_elev_m);
    require_order(row, "gutter", outlet.gutter_elev_m, "curb_top", outlet.curb_top_elev_m);
    outlet.setback_foundation_m = row.size_m("setback_foundation", believed::setback_m);
    outlet.setback_lot_line_m = row.size_m("setback_lot_line", believed::setback_m);
    outlet.setback_street_m = row.size_m("setback_street", believed::setback_m);
    outlet.permit = row.raw("permit").value_or("");
    outlet.fee_cents = to_cents(row.number("fee", believed::fee).value_or(0));
    outlet.lead_time_days = row.number("lead_time_days", believed::days, "days");
    outlet.source_text = row.raw("source").value_or("");
    outlet.origin = row.origin();
    return outlet;
}

} // namespace

void read_sources(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        Source source;
        source.id = id_of(row, "source", ids.size() + 1);
        require_new_id(row, source.id, ids);
        source.kind = source_kind(row);
        source.water = source_water(row, source.kind);
        source.highest_invert_elev_m = row.elev_m("highest_invert");
        source.roof_area_m2 = roof_area_m2(row);
        source.pump_flow_m3ps = flow_m3ps(row);
        source.origin = row.origin();
        const auto places = points_of(row);
        if (places.size() != 1) {
            row.stop(fmt::format("{} points; a source is one point", places.size()));
        }
        source.at = {.x_m = places.front().x, .y_m = places.front().y};
        site.sources.push_back(std::move(source));
    }
}

void read_footing_drains(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, "footing drain", ids.size() + 1);
        require_new_id(row, id, ids);
        const auto lines = lines_of(row);
        for (std::size_t i = 0; i < lines.size(); ++i) {
            site.footing_drains.push_back(
                {.id = part_id(id, i, lines.size()), .line = lines[i], .origin = row.origin()});
        }
    }
}

void read_outlets(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, "outlet", ids.size() + 1);
        require_new_id(row, id, ids);
        auto outlet = outlet_values(row);
        const auto places = places_of(row);
        for (std::size_t i = 0; i < places.size(); ++i) {
            outlet.id = part_id(id, i, places.size());
            outlet.name = row.raw("name").value_or(outlet.id);
            outlet.place = places[i];
            site.outlets.push_back(outlet);
        }
    }
    for (const auto* const attribute : {"lowest_invert", "highest_invert", "gutter", "curb_top"}) {
        for (auto& finding : sentinel_warnings(layer, attribute)) {
            site.findings.push_back(std::move(finding));
        }
    }
}

} // namespace trenchwright
