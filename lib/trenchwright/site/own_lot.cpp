#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

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

/// Marks the lots of one id. @throws Error (input) when there is none
void mark_lots(const std::vector<Lot>& lots, const std::string& id, std::string_view key, std::vector<bool>& marked)
{
    bool found = false;
    for (std::size_t i = 0; i < lots.size(); ++i) {
        const bool named = is_one_of(lots[i].id, {id});
        marked[i] = marked[i] || named;
        found = found || named;
    }
    if (!found) {
        throw Error(ErrorKind::input, fmt::format("{}: no lot has the id \"{}\" of [parcel] {}; ids are {}",
                                                  lots.front().origin.file, id, key, some_ids(lots)));
    }
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

/// The lot most sources stand on; nothing where two lots have as many, or none has any.
std::optional<std::size_t> lot_under_sources(const std::vector<Lot>& lots, const std::vector<Source>& sources)
{
    std::vector<std::ptrdiff_t> on;
    for (const auto& lot : lots) {
        on.push_back(std::ranges::count_if(sources, [&](const Source& source) {
            return std::ranges::any_of(lot.areas, [&](const Polygon& area) { return contains(area, source.at); });
        }));
    }
    const auto most = std::ranges::max_element(on);
    const bool one = *most > 0 && std::ranges::count(on, *most) == 1;
    return one ? std::optional(static_cast<std::size_t>(most - on.begin())) : std::nullopt;
}

std::vector<bool> own(const std::vector<Lot>& lots, const std::vector<std::string>& parcel_ids,
                      const std::vector<NamedArea>& buildings, const std::vector<Source>& sources)
{
    std::vector<bool> ours(lots.size(), false);
    if (parcel_ids.empty()) {
        const auto by_sources = lot_under_sources(lots, sources);
        ours[lots.size() == 1 ? 0 : by_sources ? *by_sources : lot_under_house(lots, buildings)] = true;
        return ours;
    }
    for (const auto& id : parcel_ids) {
        mark_lots(lots, id, "id", ours);
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
        mark_lots(lots, id, "street_ids", street);
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

bool is_one_of(const std::string& id, const std::vector<std::string>& ids)
{
    return std::ranges::any_of(ids, [&](const std::string& one) { return plain_id(one) == plain_id(id); });
}

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
    const auto ours = own(notes.lots, job.parcel_ids, notes.buildings, site.sources);
    const auto street = street_among(notes.lots, job.street_ids);
    for (std::size_t i = 0; i < notes.lots.size(); ++i) {
        if (ours[i]) {
            require_fit_for_ours(notes.lots[i], street[i]);
            site.parcel.insert(site.parcel.end(), notes.lots[i].areas.begin(), notes.lots[i].areas.end());
        }
    }
    if (site.parcel.size() > 1) {
        site.parcel = joined(site.parcel);
    }
    for (std::size_t i = 0; i < notes.lots.size(); ++i) {
        if (!ours[i]) {
            add_other_lot(notes.lots[i], street[i], site, notes);
        }
    }
}

} // namespace trenchwright
