#include "trenchwright/estimate/rates.hpp"

#include <algorithm>
#include <array>

namespace trenchwright {

namespace {

constexpr std::array<RateKind, 39> kinds{{
    {"machine_dig", RatePer::volume, "Machine dig", true},
    {"machine_length", RatePer::length, "Machine dig, by length", true},
    {"hand_dig", RatePer::volume, "Hand dig", true},
    {"hand_length", RatePer::length, "Hand dig, by length", true},
    {"expose", RatePer::each, "Pothole a crossed utility", false},
    {"pipe", RatePer::length, "Pipe, laid", false},
    {"pipe_3in", RatePer::length, "3 in pipe, laid", false, "pipe"},
    {"pipe_4in", RatePer::length, "4 in pipe, laid", false, "pipe"},
    {"pipe_6in", RatePer::length, "6 in pipe, laid", false, "pipe"},
    {"bedding", RatePer::volume, "Bedding stone", false},
    {"haul", RatePer::volume, "Haul-off and disposal, loose", false},
    {"bend_11", RatePer::each, "Bend of 11.25 deg", false},
    {"bend_22", RatePer::each, "Bend of 22.5 deg", false},
    {"bend_45", RatePer::each, "Bend of 45 deg", false},
    {"bend_90", RatePer::each, "Bend of 90 deg", false},
    {"coupling", RatePer::each, "Coupling, where joints take a bend", false},
    {"wye", RatePer::each, "Wye", false},
    {"cleanout", RatePer::each, "Cleanout", false},
    {"adapter", RatePer::each, "Downspout adapter", false},
    {"pump_connection", RatePer::each, "Connection to the pump", false},
    {"wall_core", RatePer::each, "Core through the wall", false},
    {"outlet_curb", RatePer::each, "Curb cut or core", false},
    {"outlet_popup", RatePer::each, "Pop-up emitter", false},
    {"outlet_inlet", RatePer::each, "Connection to the inlet", false},
    {"outlet_swale", RatePer::each, "Open end in the swale", false},
    {"sidewalk_bore", RatePer::length, "Bore under paving", false},
    {"anchor", RatePer::each, "Pipe anchor", false},
    {"reducer", RatePer::each, "Reducer", false},
    {"shallow_cover", RatePer::length, "Pipe under less than the cover wanted", false},
    {"root_bore", RatePer::length, "Bore under roots", false},
    {"shoring", RatePer::area, "Shoring, by supported face", false},
    {"private_locate", RatePer::each, "Private locate", false},
    {"irrigation_repair", RatePer::each, "Allowance for irrigation repair", false},
    {"as_built", RatePer::each, "Record drawing", false},
    {"mobilization", RatePer::each, "Mobilization", false},
    {"inside_dig", RatePer::volume, "Footing drain: hand dig inside", false},
    {"inside_stone", RatePer::volume, "Footing drain: stone", false},
    {"inside_pipe", RatePer::length, "Footing drain: pipe", false},
    {"traffic_control", RatePer::each, "Traffic control", false},
}};

constexpr std::string_view restore = "restore.";

} // namespace

Spread operator+(const Spread& a, const Spread& b)
{
    return {.low = a.low + b.low, .likely = a.likely + b.likely, .high = a.high + b.high};
}

Spread operator*(const Spread& a, double times_factor)
{
    return {.low = a.low * times_factor, .likely = a.likely * times_factor, .high = a.high * times_factor};
}

Spread operator*(const Spread& a, const Spread& b)
{
    return {.low = a.low * b.low, .likely = a.likely * b.likely, .high = a.high * b.high};
}

std::span<const RateKind> rate_kinds()
{
    return kinds;
}

std::optional<RateKind> rate_kind(std::string_view key)
{
    if (key.starts_with(restore) && key.size() > restore.size()) {
        return RateKind{.key = key, .per = RatePer::area, .words = "Restore", .digging = false};
    }
    const auto found = std::ranges::find(kinds, key, &RateKind::key);
    return found == kinds.end() ? std::nullopt : std::optional(*found);
}

const Rate* rate_for(const RateBook& book, const std::string& key)
{
    const auto own = book.items.find(key);
    if (own != book.items.end()) {
        return &own->second;
    }
    const auto kind = rate_kind(key);
    const auto other = kind ? book.items.find(std::string(kind->else_by)) : book.items.end();
    return other == book.items.end() ? nullptr : &other->second;
}

Spread unit_rate(const RateBook& book, const Rate& rate, double hours_factor)
{
    Spread crew_per_hour;
    for (const auto& [trade, count] : rate.crew) {
        crew_per_hour = crew_per_hour + book.trades.at(trade).per_hour * count;
    }
    return rate.price + rate.hours * hours_factor * crew_per_hour;
}

double soil_factor(const RateBook& book, std::string_view key)
{
    const auto kind = rate_kind(key);
    return kind && kind->digging ? book.soil_hours_factor : 1;
}

} // namespace trenchwright
