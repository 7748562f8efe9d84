#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

/// Ground that a building must share with our lot to be ours where a source stands at it, or where none has most of its
/// ground there: more than a neighbor's eaves over the lot line, less than half of a small house. Common practice, no
/// source.
constexpr double min_shared_m2 = 10;

/// How near a source stands to the wall of its building. Common practice, no source.
constexpr double at_wall_m = 0.5;

bool any_source_at(const Site& site, const Polygon& building)
{
    return std::ranges::any_of(site.sources,
                               [&](const Source& source) { return distance_m(source.at, building) <= at_wall_m; });
}

double shared_m2(const std::vector<Polygon>& lot, const Polygon& building)
{
    double sum_m2 = 0;
    for (const auto& area : lot) {
        const bool may = overlap(bounds(area.outer), bounds(building.outer));
        sum_m2 += may ? shared_area(area, building).area_m2 : 0;
    }
    return sum_m2;
}

double from_lot_m(const std::vector<Polygon>& lot, const Polygon& building)
{
    double min_m = std::numeric_limits<double>::infinity();
    for (const auto& area : lot) {
        min_m = std::min({min_m, distance_m(closed(building.outer), area), distance_m(closed(area.outer), building)});
    }
    return min_m;
}

[[noreturn]] void refuse_strangers(const std::vector<Polygon>& lot, const std::vector<NamedArea>& buildings,
                                   UnitSystem units)
{
    const auto away_m = [&](const NamedArea& building) { return from_lot_m(lot, building.area); };
    const auto& nearest = std::ranges::min(buildings, {}, away_m);
    const double nearest_m = away_m(nearest);
    throw Error(ErrorKind::input,
                fmt::format("{}, layer {}: none of its {} buildings stands on our lot; the nearest is {}, {}. Draw our "
                            "house into the layer or look at its coordinate system; where there is none on the lot, "
                            "leave [layers.foundation] out and give the others under [layers.keep_outs]",
                            nearest.origin.file, nearest.origin.layer, buildings.size(), named(nearest),
                            nearest_m > 0 ? length_text(nearest_m, units) + " away" : "which only meets the lot line"));
}

/// Furthest corner of a building from our lot.
struct Outermost {
    double past_m = 0;
    Point at;
};
Outermost outermost(const std::vector<Polygon>& lot, const Polygon& building)
{
    Outermost most;
    for (const auto& corner : building.outer) {
        double past_m = std::numeric_limits<double>::infinity();
        for (const auto& area : lot) {
            past_m = std::min(past_m, distance_m(corner, area));
        }
        if (past_m > most.past_m) {
            most = {.past_m = past_m, .at = corner};
        }
    }
    return most;
}

Finding past_lot_line(const NamedArea& building, const Outermost& most, UnitSystem units)
{
    return {.severity = Severity::warning,
            .rule = "site.foundation",
            .text = fmt::format("The building {} reaches {} past our lot line. Look at its corner there; what lies "
                                "under it cannot be dug",
                                named(building), length_text(most.past_m, units)),
            .at = most.at,
            .station_m = {}};
}

} // namespace

void take_own_buildings(const SiteLayers& job, Site& site, const Notebook& notes)
{
    std::vector<double> shared;
    for (const auto& building : notes.buildings) {
        shared.push_back(shared_m2(site.parcel, building.area));
    }
    const auto in_whole = [&](std::size_t i) {
        const auto& area = notes.buildings[i].area;
        return shared[i] > area_m2(area) / 2 || (shared[i] >= min_shared_m2 && any_source_at(site, area));
    };
    std::vector<bool> whole(shared.size());
    for (std::size_t i = 0; i < whole.size(); ++i) {
        whole[i] = in_whole(i);
    }
    const bool any = std::ranges::find(whole, true) != whole.end();
    for (std::size_t i = 0; i < notes.buildings.size(); ++i) {
        const auto& building = notes.buildings[i];
        const bool ours = site.parcel.empty() || (any ? whole[i] : shared[i] >= min_shared_m2);
        (ours ? site.foundations : site.neighbor_buildings).push_back(building.area);
        (ours ? site.foundation_ids : site.neighbor_building_ids).push_back(building.id);
        const auto most = ours && !site.parcel.empty() ? outermost(site.parcel, building.area) : Outermost{};
        if (most.past_m > job.reading.past_lot_line_m) {
            site.findings.push_back(past_lot_line(building, most, job.print_units));
        }
    }
    if (site.foundations.empty() && !notes.buildings.empty()) {
        refuse_strangers(site.parcel, notes.buildings, job.print_units);
    }
}

} // namespace trenchwright
