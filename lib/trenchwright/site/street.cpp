#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Two maps of one boundary differ by slivers: 2 cm along 30 m of it. Common practice, no source.
constexpr double min_shared_m2 = 0.6;

std::string advice(const NamedArea& neighbor)
{
    if (!neighbor.from_parcels) {
        return "if that ground is street, take the feature out of the neighbors";
    }
    return neighbor.id.empty()
               ? "if that ground is street, give the lot an id and name it under [parcel] street_ids"
               : fmt::format("if that ground is street, write [parcel] street_ids = [\"{}\"]", neighbor.id);
}

Ring corners_of(const Box& box)
{
    return {{.x_m = box.min_x_m, .y_m = box.min_y_m},
            {.x_m = box.max_x_m, .y_m = box.min_y_m},
            {.x_m = box.max_x_m, .y_m = box.max_y_m},
            {.x_m = box.min_x_m, .y_m = box.max_y_m}};
}

ShapeWarning overlap_warning(const NamedArea& street, const NamedArea& neighbor, const SharedArea& shared,
                             UnitSystem units)
{
    const auto place = fmt::format("{}, layer {}", street.origin.file, street.origin.layer);
    return {.finding = {.severity = Severity::warning,
                        .rule = "site.right_of_way",
                        .text = fmt::format("The street strip {} lies over {} of the lot {}. The lot wins: no trench "
                                            "may enter it there; {}, else correct the line between the two",
                                            named(street), area_text(shared.area_m2, units), named(neighbor),
                                            advice(neighbor)),
                        .at = shared.at,
                        .station_m = {}},
            .place = place,
            .summary = "overlaps of the street strip with a neighbor's lot, where the lot wins",
            .feature_id = street.origin.feature_id,
            .outline = corners_of(shared.box)};
}

ShapeWarning over_ours(const NamedArea& other, const SharedArea& shared, double ours_m2, UnitSystem units)
{
    const auto place = fmt::format("{}, layer {}", other.origin.file, other.origin.layer);
    return {
        .finding = {.severity = Severity::warning,
                    .rule = "site.parcel",
                    .text = fmt::format("The lot {} lies over {} of our lot ({:.0f} % of it). It wins: no trench "
                                        "may enter our lot there. Correct the line between the two; if it is a "
                                        "right or an interest in land and no lot, take it out of this layer and "
                                        "give it under [layers.easements]",
                                        named(other), area_text(shared.area_m2, units), 100 * shared.area_m2 / ours_m2),
                    .at = shared.at,
                    .station_m = {}},
        .place = place,
        .summary = "lots over ours",
        .feature_id = other.origin.feature_id,
        .outline = corners_of(shared.box)};
}

} // namespace

std::string named(const NamedArea& area)
{
    return fmt::format("{}({}, layer {}, feature {})", area.id.empty() ? "" : fmt::format("\"{}\" ", area.id),
                       area.origin.file, area.origin.layer, area.origin.feature_id);
}

void warning_lots_over_ours(const std::vector<Polygon>& ours, Notebook& notes, UnitSystem units)
{
    for (const auto& lot : ours) {
        const auto box = bounds(lot.outer);
        for (const auto& other : notes.neighbors) {
            const auto shared = overlap(box, bounds(other.area.outer)) ? shared_area(lot, other.area) : SharedArea{};
            if (shared.area_m2 > min_shared_m2) {
                notes.warnings.push_back(over_ours(other, shared, area_m2(lot), units));
            }
        }
    }
}

void warning_street_over_lots(Notebook& notes, UnitSystem units)
{
    for (const auto& street : notes.street) {
        const auto box = bounds(street.area.outer);
        for (const auto& neighbor : notes.neighbors) {
            if (!overlap(box, bounds(neighbor.area.outer))) {
                continue;
            }
            const auto shared = shared_area(street.area, neighbor.area);
            if (shared.area_m2 > min_shared_m2) {
                notes.warnings.push_back(overlap_warning(street, neighbor, shared, units));
            }
        }
    }
}

} // namespace trenchwright
