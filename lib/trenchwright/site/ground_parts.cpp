#include "trenchwright/site/read_parts.hpp"
#include "trenchwright/site/warnings.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::optional<double> rod_elev_m(const Row& row)
{
    const auto& layer = row.layer();
    const auto text = row.raw("rod");
    if (!text) {
        return std::nullopt;
    }
    const auto unit = elev_unit(*layer.use, *layer.job);
    const double unit_m = meters_per(unit);
    const auto rod = row.number("rod", {.low = believed::rod_m.low / unit_m, .high = believed::rod_m.high / unit_m},
                                unit_word(unit));
    if (!layer.job->instrument_height_m) {
        row.stop(
            fmt::format("rod {} needs the height of the line of sight: write [instrument] height = \"...\" in the job "
                        "file",
                        *text));
    }
    return *layer.job->instrument_height_m - *rod * unit_m;
}

/// The attribute before the rod before the geometry's own z.
std::optional<double> spot_elev_m(const Row& row, const ShapePoint& at)
{
    if (const auto elev_m = row.elev_m("elev")) {
        return elev_m;
    }
    if (row.raw("elev")) {
        return std::nullopt; // the declared nodata; its z would be the same sentinel
    }
    const auto by_rod_m = rod_elev_m(row);
    return by_rod_m ? by_rod_m : row.z_elev_m(at.file_z);
}

} // namespace

void read_spots(const PartLayer& layer, Site& site, std::vector<Spot>& spots)
{
    std::vector<std::string> ids; // surveys number their points anew: unique within one layer
    std::size_t unknown = 0;
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, "spot", spots.size() + unknown + 1);
        if (row.raw("id")) {
            require_new_id(row, id, ids);
        }
        const auto places = points_of(row);
        for (std::size_t i = 0; i < places.size(); ++i) {
            const auto elev_m = spot_elev_m(row, places[i]);
            if (!elev_m) {
                ++unknown;
                continue;
            }
            spots.push_back({.id = part_id(id, i, places.size()),
                             .at = {.x_m = places[i].x, .y_m = places[i].y},
                             .elev_m = *elev_m,
                             .origin = row.origin()});
        }
    }
    if (unknown > 0) {
        site.findings.push_back(
            {.severity = Severity::warning,
             .rule = "site.nodata",
             .text = fmt::format("{}, layer {}: {} spots have no elevation and are left out",
                                 layer.use->file.filename().string(), layer.placed.data.layer, unknown),
             .at = {},
             .station_m = {}});
    }
    for (auto& finding : sentinel_warnings(layer, "elev")) {
        site.findings.push_back(std::move(finding));
    }
}

void read_breaklines(const PartLayer& layer, Site& site)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto level_m = row.elev_m("elev");
        for (const auto& part : raw_lines_of(row)) {
            Breakline breakline{.line = {}, .origin = row.origin()};
            for (std::size_t i = 0; i < part.size(); ++i) {
                const auto& p = part[i];
                const auto elev_m = level_m ? level_m : row.z_elev_m(p.file_z);
                if (!elev_m) {
                    row.stop(fmt::format("vertex {} at {} has no elevation; breaklines need z at every vertex or one "
                                         "`elev`",
                                         i + 1, place_in_file(layer.placed, {.x_m = p.x, .y_m = p.y})));
                }
                const Point3 vertex{.x_m = p.x, .y_m = p.y, .elev_m = *elev_m};
                if (breakline.line.empty() || flat(breakline.line.back()) != flat(vertex)) {
                    breakline.line.push_back(vertex);
                }
            }
            if (breakline.line.size() < 2) {
                row.stop("a line without length");
            }
            site.breaklines.push_back(std::move(breakline));
        }
    }
}

} // namespace trenchwright
