#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string some_ids(const std::vector<Lot>& lots)
{
    std::string text;
    for (std::size_t i = 0; i < lots.size() && i < 8; ++i) {
        text += fmt::format("{}{}", i == 0 ? "" : ", ", lots[i].id.empty() ? "(none)" : lots[i].id);
    }
    return lots.size() > 8 ? text + ", ..." : text;
}

std::size_t lot_under_house(const std::vector<Lot>& lots, const std::vector<NamedArea>& buildings)
{
    if (buildings.empty()) {
        throw Error(ErrorKind::input, fmt::format("{}: {} lots and no foundation; name ours with [parcel] id",
                                                  lots.front().origin.file, lots.size()));
    }
    const auto& house = std::ranges::max(buildings, {}, [](const NamedArea& b) { return area_m2(b.area); }).area;
    std::size_t best = 0;
    for (std::size_t i = 1; i < lots.size(); ++i) {
        best = corners_on(lots[i].areas, house) > corners_on(lots[best].areas, house) ? i : best;
    }
    if (corners_on(lots[best].areas, house) == 0) {
        throw Error(ErrorKind::input, fmt::format("{}: the foundation stands on none of the {} lots; name ours with "
                                                  "[parcel] id",
                                                  lots.front().origin.file, lots.size()));
    }
    return best;
}

std::vector<bool> own(const std::vector<Lot>& lots, const std::string& parcel_id,
                      const std::vector<NamedArea>& buildings)
{
    std::vector<bool> ours(lots.size(), false);
    if (parcel_id.empty()) {
        ours[lots.size() == 1 ? 0 : lot_under_house(lots, buildings)] = true;
        return ours;
    }
    std::transform(lots.begin(), lots.end(), ours.begin(), [&](const Lot& lot) { return lot.id == parcel_id; });
    if (std::find(ours.begin(), ours.end(), true) == ours.end()) {
        throw Error(ErrorKind::input, fmt::format("{}: no lot has the id \"{}\" of [parcel] id; ids are {}",
                                                  lots.front().origin.file, parcel_id, some_ids(lots)));
    }
    return ours;
}

bool corners_within(const Polygon& inner, const std::vector<Polygon>& outer)
{
    return std::all_of(inner.outer.begin(), inner.outer.end(), [&](const Point& p) {
        return std::any_of(outer.begin(), outer.end(), [&](const Polygon& area) { return contains(area, p); });
    });
}

/// Condominiums list one lot several times; the copy of ours would shut us out.
bool copy_of_ours(const Polygon& other, const Site& site)
{
    return corners_within(other, site.parcel) &&
           std::all_of(site.parcel.begin(), site.parcel.end(),
                       [&](const Polygon& area) { return corners_within(area, {other}); });
}

/// Which lots the job calls street.
std::vector<bool> street_among(const std::vector<Lot>& lots, const std::vector<std::string>& street_ids)
{
    std::vector<bool> street(lots.size(), false);
    for (const auto& id : street_ids) {
        bool found = false;
        for (std::size_t i = 0; i < lots.size(); ++i) {
            street[i] = street[i] || lots[i].id == id;
            found = found || lots[i].id == id;
        }
        if (!found) {
            throw Error(ErrorKind::input, fmt::format("{}: no lot has the id \"{}\" of [parcel] street_ids; ids are {}",
                                                      lots.front().origin.file, id, some_ids(lots)));
        }
    }
    return street;
}

void require_fit_for_ours(const Lot& lot, bool street)
{
    if (!lot.fault.empty()) {
        throw Error(ErrorKind::input, lot.fault + "; our own lot must be right in the file");
    }
    if (street) {
        throw Error(ErrorKind::input, fmt::format("{}, layer {}, feature {}: \"{}\" of [parcel] street_ids is our lot",
                                                  lot.origin.file, lot.origin.layer, lot.origin.feature_id, lot.id));
    }
}

void add_other_lot(const Lot& lot, bool street, Site& site, Notebook& notes)
{
    for (const auto& area : lot.areas) {
        if (street || !copy_of_ours(area, site)) {
            auto& list = street ? notes.street : notes.neighbors;
            list.push_back({.id = lot.id, .area = area, .origin = lot.origin, .from_parcels = true});
            continue;
        }
        site.findings.push_back({.severity = Severity::warning,
                                 .rule = "site.parcel",
                                 .text = fmt::format("{}, layer {}, feature {}: lies exactly on our lot and is left "
                                                     "out of the neighbors",
                                                     lot.origin.file, lot.origin.layer, lot.origin.feature_id),
                                 .at = area.outer.front(),
                                 .station_m = {}});
    }
}

} // namespace

std::size_t corners_on(const std::vector<Polygon>& lot, const Polygon& outline)
{
    return static_cast<std::size_t>(std::ranges::count_if(outline.outer, [&](const Point& corner) {
        return std::ranges::any_of(lot, [&](const Polygon& area) { return contains(area, corner); });
    }));
}

void take_own_lot(const SiteLayers& job, Site& site, Notebook& notes)
{
    if (notes.lots.empty()) {
        return;
    }
    const auto ours = own(notes.lots, job.parcel_id, notes.buildings);
    const auto street = street_among(notes.lots, job.street_ids);
    for (std::size_t i = 0; i < notes.lots.size(); ++i) {
        if (ours[i]) {
            require_fit_for_ours(notes.lots[i], street[i]);
            site.parcel.insert(site.parcel.end(), notes.lots[i].areas.begin(), notes.lots[i].areas.end());
        }
    }
    for (std::size_t i = 0; i < notes.lots.size(); ++i) {
        if (!ours[i]) {
            add_other_lot(notes.lots[i], street[i], site, notes);
        }
    }
}

} // namespace trenchwright
