#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

namespace trenchwright {

namespace {

/// A kind of item whose rate is one figure of the settings too.
struct PricedSetting {
    std::string item;
    std::string setting;
    std::function<double&(Rules&)> place;
};

constexpr std::string_view restore = "restore.";
constexpr std::array<const char*, 3> sized_pipes{"pipe_3in", "pipe_4in",
                                                 "pipe_6in"}; // in the order of WaterRules::pipes

std::vector<PricedSetting> fixed_items()
{
    return {
        {"machine_dig", "rates.machine_volume", [](Rules& r) -> double& { return r.route.machine_per_m3; }},
        {"machine_length", "rates.machine_length", [](Rules& r) -> double& { return r.route.machine_per_m; }},
        {"hand_dig", "rates.hand_volume", [](Rules& r) -> double& { return r.route.hand_per_m3; }},
        {"hand_length", "rates.hand_length", [](Rules& r) -> double& { return r.route.hand_per_m; }},
        {"expose", "rates.crossing", [](Rules& r) -> double& { return r.route.crossing_price; }},
        {"coupling", "fittings.price_coupling", [](Rules& r) -> double& { return r.route.coupling_price; }},
        {"wye", "wye.price", [](Rules& r) -> double& { return r.water.junction.price; }},
        {"shoring", "protection.shore_price", [](Rules& r) -> double& { return r.safety.protection.shore_per_m2; }},
        {"root_bore", "trees.bore_price", [](Rules& r) -> double& { return r.safety.trees.bore_per_m; }},
        {"mobilization", "rates.mobilization", [](Rules& r) -> double& { return r.mobilization; }},
    };
}

/// All but the pipe, whose rate is chosen by its size.
std::vector<PricedSetting> priced_settings(const Rules& rules)
{
    auto items = fixed_items();
    for (const auto& [item, price] : rules.item_price) {
        items.push_back({item, "rates." + item, [key = item](Rules& r) -> double& { return r.item_price.at(key); }});
    }
    constexpr std::array<const char*, 4> bends{"11", "22", "45", "90"};
    for (std::size_t i = 0; i < bends.size(); ++i) {
        items.push_back({std::string("bend_") + bends.at(i), std::string("fittings.price_") + bends.at(i),
                         [i](Rules& r) -> double& { return r.fitting_choices.at(i).fitting.price; }});
    }
    for (const auto& [kind, surface] : rules.route.surfaces) {
        items.push_back({std::string(restore) + kind, "ground_cover." + kind + ".restore",
                         [key = kind](Rules& r) -> double& { return r.route.surfaces.at(key).restore_per_m2; }});
    }
    return items;
}

bool stated(const RateBook& book, const std::string& key)
{
    return rate_for(book, key) != nullptr;
}

/// Likely money per unit with the soil's hours; the search knows no depth steps.
double likely(const RateBook& book, const std::string& key)
{
    return unit_rate(book, *rate_for(book, key), soil_factor(book, key)).likely;
}

Rate one_figure(double price)
{
    Rate rate;
    rate.price = {.low = price, .likely = price, .high = price};
    return rate;
}

/// rates.pipe is for the pipe the drain is planned with; another one costs the difference of the pipes' own prices.
/// Where the planned pipe is none of the list that difference is not known, and every pipe costs the same.
void add_pipes(RateBook& book, const Rules& rules)
{
    const auto& pipes = rules.water.pipes;
    const auto planned = std::ranges::find_if(pipes, [&](const PipeChoice& pipe) {
        return same_pipe(rules.route.section.outside_diameter_m, pipe.outside_diameter_m);
    });
    book.items["pipe"] = one_figure(rules.route.pipe_per_m);
    for (std::size_t i = 0; i < sized_pipes.size(); ++i) {
        const double dearer_per_m = planned == pipes.end() ? 0 : pipes.at(i).price_per_m - planned->price_per_m;
        book.items[sized_pipes.at(i)] = one_figure(std::max(0.0, rules.route.pipe_per_m + dearer_per_m));
    }
}

} // namespace

Measure measure_of(RatePer per)
{
    switch (per) {
    case RatePer::length: return Measure::money_per_length;
    case RatePer::area: return Measure::money_per_area;
    case RatePer::volume: return Measure::money_per_volume;
    case RatePer::each: break;
    }
    return Measure::money;
}

RateBook settings_book(Rules rules)
{
    RateBook book;
    for (const auto& priced : priced_settings(rules)) {
        book.items[priced.item] = one_figure(priced.place(rules));
    }
    add_pipes(book, rules);
    book.included = {{"bedding", "the pipe's"}, {"haul", "the digging's"}};
    return book;
}

void price_route_by_rates(Rules& rules, const RateBook& book)
{
    for (const auto& priced : priced_settings(rules)) {
        if (stated(book, priced.item)) {
            priced.place(rules) = likely(book, priced.item);
        }
    }
    auto& route = rules.route;
    // By length: a firm that prices digging by volume alone says so by leaving these out.
    route.machine_per_m = stated(book, "machine_length") ? route.machine_per_m : 0;
    route.hand_per_m = stated(book, "hand_length") ? route.hand_per_m : 0;
    if (const auto pipe = pipe_item(rules); stated(book, pipe)) {
        const double bedding_m2 = route.section.width_m * route.section.bedding_m;
        route.pipe_per_m = likely(book, pipe) + (stated(book, "bedding") ? likely(book, "bedding") * bedding_m2 : 0);
    }
}

bool same_pipe(double a_m, double b_m)
{
    constexpr double alike_m = 0.001;
    return std::abs(a_m - b_m) <= alike_m;
}

std::string pipe_item(const Rules& rules)
{
    for (std::size_t i = 0; i < sized_pipes.size(); ++i) {
        if (same_pipe(rules.route.section.outside_diameter_m, rules.water.pipes.at(i).outside_diameter_m)) {
            return sized_pipes.at(i);
        }
    }
    return "pipe";
}

std::vector<std::string> settings_replaced(const Rules& rules, const RateBook& book)
{
    std::vector<std::string> keys{"rates.machine_length", "rates.hand_length"};
    for (const auto& priced : priced_settings(rules)) {
        if (stated(book, priced.item)) {
            keys.push_back(priced.setting);
        }
    }
    const bool pipe = std::ranges::any_of(sized_pipes, [&](const char* sized) { return stated(book, sized); });
    if (pipe) {
        keys.emplace_back("rates.pipe");
    }
    return keys;
}

} // namespace trenchwright
