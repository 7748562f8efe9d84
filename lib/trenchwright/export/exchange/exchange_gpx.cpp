#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/exchange/xml_text.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

/// Stations nearer than this are one: the depth table keeps them a thousandth of a millimeter apart.
constexpr double same_station_m = 1e-6;

struct Stake {
    const JobPlan& plan;
    const CutSheet& sheet;
    const CutRow& row;
};

bool at_zone_end(const Stake& stake)
{
    return std::ranges::any_of(stake.sheet.trench->measured.zones, [&](const HandDigZone& zone) {
        return std::min(std::abs(zone.span.from_m - stake.row.station_m),
                        std::abs(zone.span.to_m - stake.row.station_m)) <= same_station_m;
    });
}

std::string kind_of(const Stake& stake)
{
    const bool crosses = std::ranges::any_of(stake.row.expected, &Expected::crosses);
    return crosses ? "crossing" : at_zone_end(stake) ? "end of a hand-dig zone" : "station";
}

std::string said_of(const Stake& stake)
{
    const auto units = stake.plan.job.rules.units;
    const auto& row = stake.row;
    std::vector<std::string> parts{
        dig_text(row.by_hand, "dig by hand"), "cut to trench bottom " + depth_text(row.cut_m, units),
        "invert " + elev_text(row.invert_elev_m, units), "ground " + elev_text(row.ground_elev_m, units)};
    for (const auto& more : {expected_text(stake.plan.site, row, units), row.fitting}) {
        if (!more.empty()) {
            parts.push_back(more);
        }
    }
    return fmt::format("{}", fmt::join(parts, "; "));
}

/// GPX wants the children in this order.
void add(XmlText& gpx, const Stake& stake, const World& world, bool numbered)
{
    const auto place = world(stake.row.at);
    const auto station = station_text(stake.row.station_m, stake.plan.job.rules.units);
    gpx.open("wpt", {{"lat", fmt::format("{:.8f}", place->y)}, {"lon", fmt::format("{:.8f}", place->x)}})
        .leaf("ele", fmt::format("{:.3f}", stake.row.ground_elev_m))
        .leaf("name", numbered ? fmt::format("{}: {}", stake.sheet.number, station) : station)
        .leaf("desc", said_of(stake))
        .leaf("type", kind_of(stake))
        .close();
}

} // namespace

std::string stakes_gpx(const JobPlan& plan)
{
    const auto* outcome = drawn_outlet(plan);
    const auto sheets = outcome == nullptr ? std::vector<CutSheet>{} : cut_sheets(plan, *outcome);
    auto notes = world_notes(plan);
    notes.insert(notes.begin(), drawn_text(plan));
    const auto& datum = plan.job.sheet.datum;
    notes.push_back("Elevations are of the ground, made into meters. Datum, as the job states it: " +
                    (datum.empty() ? "not stated." : datum + "."));
    XmlText gpx;
    gpx.open("gpx", {{"version", "1.1"}, {"creator", "trenchwright"}, {"xmlns", "http://www.topografix.com/GPX/1/1"}});
    gpx.open("metadata")
        .leaf("name", "Stake points: " + plan.job.name)
        .leaf("desc", fmt::format("{}", fmt::join(notes, "\n")))
        .close();
    const auto world = site_world(plan);
    for (const auto& sheet : sheets) {
        for (const auto& row : sheet.rows) {
            add(gpx, {.plan = plan, .sheet = sheet, .row = row}, world, sheets.size() > 1);
        }
    }
    return gpx.finished();
}

} // namespace trenchwright
