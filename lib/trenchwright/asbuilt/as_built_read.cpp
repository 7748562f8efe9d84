#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double same_place_m = 0.001;

struct LengthColumn {
    std::string name;
    double unit_m = 0;
};

/// The one column of a quantity, in feet or in meters; nothing where the file has neither.
std::optional<LengthColumn> column_of(const LayerData& table, const std::string& quantity)
{
    for (const auto& [ending, unit_m] : {std::pair{"_ft", ft_in_m}, std::pair{"_m", 1.0}}) {
        if (std::ranges::find(table.fields, quantity + ending) != table.fields.end()) {
            return LengthColumn{.name = quantity + ending, .unit_m = unit_m};
        }
    }
    return std::nullopt;
}

LengthColumn needed_column(const LayerData& table, const std::string& quantity)
{
    const auto column = column_of(table, quantity);
    if (!column) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: has no column {}_ft or {}_m", table.file.filename().string(), quantity, quantity));
    }
    return *column;
}

/// A cell as the file has it; nothing for an empty one. @param most  above it, below its negative: not believed
std::optional<double> number_in(const LayerData& table, const Feature& row, const std::string& column, double most)
{
    const auto found = row.values.find(column);
    if (found == row.values.end()) {
        return std::nullopt;
    }
    const auto& text = found->second;
    double value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool good = fault == std::errc{} && end == text.data() + text.size() && std::abs(value) <= most;
    if (!good) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: {}: \"{}\" is no number or out of range", where(table, row.id), column, text));
    }
    return value;
}

std::optional<double> length_in(const LayerData& table, const Feature& row, const LengthColumn& column)
{
    constexpr double max_m = 9000; // no ground on Earth is higher or lower
    const auto value = number_in(table, row, column.name, max_m / column.unit_m);
    return value ? std::optional(*value * column.unit_m) : std::nullopt;
}

std::optional<Point> place_in(const JobPlan& plan, const LayerData& table, const Feature& row)
{
    constexpr double most = 1e9; // native coordinates of any projected system
    const auto x = number_in(table, row, "as_built_x", most);
    const auto y = number_in(table, row, "as_built_y", most);
    if (x.has_value() != y.has_value()) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: as_built_x and as_built_y: both or neither", where(table, row.id)));
    }
    return x ? std::optional(to_site(plan.site.frame, *x, *y)) : std::nullopt;
}

/// The level in a row, from an invert or a rod; nothing where neither is filled in.
std::optional<double> level_in(const JobPlan& plan, const LayerData& table, const Feature& row)
{
    const auto invert = column_of(table, "as_built_invert");
    const auto rod = column_of(table, "as_built_rod");
    const auto level = invert ? length_in(table, row, *invert) : std::nullopt;
    const auto reading = rod ? length_in(table, row, *rod) : std::nullopt;
    if (level && reading) {
        throw Error(ErrorKind::input, fmt::format("{}: has both an invert and a rod", where(table, row.id)));
    }
    if (!reading) {
        return level;
    }
    const auto& sight = plan.job.cut_sheet.instrument_elev_m;
    if (!sight) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: a rod reading needs [cut_sheet] instrument in the job", where(table, row.id)));
    }
    return *sight - *reading;
}

MeasuredTrench& trench_of(const JobPlan& plan, std::vector<MeasuredTrench>& all, const LayerData& table,
                          const Feature& row, const std::string& source)
{
    const auto found = std::ranges::find_if(
        all, [&](const MeasuredTrench& one) { return plan.site.sources[one.trench->source].id == source; });
    if (found == all.end()) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: from_source \"{}\" has no trench here", where(table, row.id), source));
    }
    return *found;
}

/// The cut sheet puts a quote before an id that a spreadsheet would run.
std::string without_guard(const std::string& id)
{
    const bool guarded = id.size() > 1 && id[0] == '\'' && id.find_first_of("=+-@", 1) == 1;
    return guarded ? id.substr(1) : id;
}

void add_level(MeasuredTrench& measured, const LayerData& table, const Feature& row, MeasuredInvert level)
{
    const double length_m = measured.trench->measured.quantities.length_m;
    const bool along = level.station_m >= -station_rounding_m && level.station_m <= length_m + station_rounding_m;
    if (!along) {
        throw Error(ErrorKind::input, fmt::format("{}: station {:.3f} m lies off the trench, which is {:.3f} m long",
                                                  where(table, row.id), level.station_m, length_m));
    }
    level.station_m = std::clamp(level.station_m, 0.0, length_m);
    for (const auto& other : measured.inverts) {
        if (std::abs(other.station_m - level.station_m) < same_place_m) {
            throw Error(ErrorKind::input, fmt::format("{}: a second level at station {:.3f} m of the same trench",
                                                      where(table, row.id), level.station_m));
        }
    }
    measured.inverts.push_back(level);
}

} // namespace

std::vector<MeasuredTrench> read_measured(const JobPlan& plan, const std::filesystem::path& file)
{
    std::vector<MeasuredTrench> all;
    const auto trenches = trenches_of(drawn_outlet(plan));
    if (trenches.empty() && !plan.job.sheet.outlet.empty()) {
        throw Error(ErrorKind::input, no_trench_text(plan) + ": there is no trench to compare with");
    }
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        all.push_back({.trench = trenches[i], .number = i + 1, .inverts = {}});
    }
    const auto table = read_layer({.file = file, .without_places = true});
    const auto station = needed_column(table, "station");
    if (!column_of(table, "as_built_rod")) {
        needed_column(table, "as_built_invert");
    }
    bool any = false;
    for (const auto& row : table.features) {
        const auto source = row.values.find("from_source");
        const auto level_m = source == row.values.end() ? std::nullopt : level_in(plan, table, row);
        if (!level_m) {
            continue;
        }
        const auto station_m = length_in(table, row, station);
        if (!station_m) {
            throw Error(ErrorKind::input, fmt::format("{}: has a level and no {}", where(table, row.id), station.name));
        }
        add_level(trench_of(plan, all, table, row, without_guard(source->second)), table, row,
                  {.station_m = *station_m, .invert_elev_m = *level_m, .at = place_in(plan, table, row)});
        any = true;
    }
    if (!any) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: no row has a from_source and a level", table.file.filename().string()));
    }
    for (auto& one : all) {
        std::ranges::sort(one.inverts, {}, &MeasuredInvert::station_m);
    }
    return all;
}

} // namespace trenchwright
