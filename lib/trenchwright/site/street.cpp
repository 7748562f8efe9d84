#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>

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
    return {.finding = {.severity = Severity::warning,
                        .rule = "site.parcel",
                        .text = fmt::format(
                            "The lot {} lies over {} of our lot ({:.0f} % of it). It wins: no trench "
                            "may enter our lot there. Correct the line between the two; if it is a "
                            "right or an interest in land and no lot, take it out of this layer (`where` in "
                            "its table) and give it under [layers.easements]",
                            named(other), area_text(shared.area_m2, units), 100 * shared.area_m2 / ours_m2),
                        .at = shared.at,
                        .station_m = {}},
            .place = place,
            .summary = "lots over ours",
            .feature_id = other.origin.feature_id,
            .outline = corners_of(shared.box)};
}

/// Gaps between lots narrower than this are slips of the map, no street. Common practice, no source.
constexpr double min_street_width_m = 1;

std::vector<Polygon> lots_of(const Site& site, const Notebook& notes)
{
    auto lots = site.parcel;
    std::ranges::transform(notes.neighbors, std::back_inserter(lots), &NamedArea::area);
    return lots;
}

Finding assumed(const std::string& how, double assumed_m2, const Point& at, UnitSystem units)
{
    return {.severity = Severity::warning,
            .rule = "site.right_of_way",
            .text = fmt::format("The street is assumed: {}, {} near the lot. No record says that it is public; a lane, "
                                "a stream or a park may lie there. Look at it on the map, and ask whose land it is "
                                "before anyone digs there",
                                how, area_text(assumed_m2, units)),
            .at = at,
            .station_m = {}};
}

/// Takes pieces of ground as street. @return their area
double add_pieces(const NamedArea& whole, const std::vector<Polygon>& lots, std::vector<NamedArea>& street)
{
    double sum_m2 = 0;
    for (auto& piece : uncovered(whole.area, lots, min_street_width_m)) {
        sum_m2 += area_m2(piece);
        street.push_back({.id = whole.id, .area = std::move(piece), .origin = whole.origin, .from_parcels = false});
    }
    return sum_m2;
}

} // namespace

void add_assumed_street(const SiteLayers& job, const std::optional<Box>& near, Site& site, Notebook& notes)
{
    const auto lots = lots_of(site, notes);
    double strips_m2 = 0;
    for (const auto& strip : notes.strips) {
        strips_m2 += add_pieces(strip, lots, notes.street);
    }
    if (strips_m2 > 0) {
        site.findings.push_back(assumed("along the centerlines of " + notes.strips.front().origin.file, strips_m2,
                                        notes.street.back().area.outer.front(), job.print_units));
    }
    const auto box = near ? near : surroundings(site);
    if (!job.street_between_lots || !box || notes.lots.empty()) {
        return;
    }
    const NamedArea all{
        .id = "between the lots",
        .area = {.outer = corners_of(*box), .holes = {}},
        .origin = {.file = notes.lots.front().origin.file, .layer = notes.lots.front().origin.layer, .feature_id = -1},
        .from_parcels = false};
    const double gaps_m2 = add_pieces(all, lots, notes.street);
    if (gaps_m2 > 0) {
        site.findings.push_back(assumed("what no lot of " + all.origin.file + " covers", gaps_m2,
                                        notes.street.back().area.outer.front(), job.print_units));
    }
}

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
