#include "plan/rates_reader.hpp"

#include <array>
#include <cmath>

namespace trenchwright {

namespace {

bool stated(const RateBook& book, const std::string& key)
{
    return book.items.contains(key);
}

/// Likely money per unit with the soil's hours; the search knows no depth steps.
double likely(const RateBook& book, const std::string& key)
{
    return unit_rate(book, book.items.at(key), soil_factor(book, key)).likely;
}

constexpr std::array<std::string_view, 4> bend_items{"bend_11", "bend_22", "bend_45", "bend_90"};
constexpr std::array<std::string_view, 4> bend_settings{"fittings.deg_11", "fittings.deg_22", "fittings.deg_45",
                                                        "fittings.deg_90"};

} // namespace

void steer(Rules& rules, const RateBook& book)
{
    auto& route = rules.route;
    const auto take = [&](const std::string& key, double& price) {
        if (stated(book, key)) {
            price = likely(book, key);
        }
    };
    take("machine_dig", route.machine_per_m3);
    take("hand_dig", route.hand_per_m3);
    take("expose", route.crossing_price);
    take("junction", rules.water.junction.price);
    take("mobilisation", rules.mobilisation);
    // By length: a firm that prices digging by volume alone says so by leaving these out.
    route.machine_per_m = stated(book, "machine_length") ? likely(book, "machine_length") : 0;
    route.hand_per_m = stated(book, "hand_length") ? likely(book, "hand_length") : 0;
    if (const auto pipe = pipe_item(rules, book); stated(book, pipe)) {
        const double bedding_m2 = route.section.width_m * route.section.bedding_m;
        route.pipe_per_m = likely(book, pipe) + (stated(book, "bedding") ? likely(book, "bedding") * bedding_m2 : 0);
    }
    for (std::size_t i = 0; i < bend_items.size(); ++i) {
        take(std::string(bend_items[i]), rules.fitting_choices.at(i).fitting.price);
    }
    for (auto& [kind, surface] : route.surfaces) {
        take("restore." + kind, surface.restore_per_m2);
    }
}

bool same_pipe(double a_m, double b_m)
{
    constexpr double alike_m = 0.001;
    return std::abs(a_m - b_m) <= alike_m;
}

std::string pipe_item(const Rules& rules, const RateBook& book)
{
    constexpr std::array<const char*, 3> sized{"pipe_3in", "pipe_4in", "pipe_6in"};
    for (std::size_t i = 0; i < sized.size(); ++i) {
        if (same_pipe(rules.route.section.outside_diameter_m, rules.water.pipes.at(i).outside_diameter_m) &&
            stated(book, sized.at(i))) {
            return sized.at(i);
        }
    }
    return "pipe";
}

std::vector<std::string> settings_replaced(const RateBook& book)
{
    std::vector<std::string> keys{"rates.machine_length", "rates.hand_length"};
    const auto add = [&](const std::string& item, const std::string& setting) {
        if (stated(book, item)) {
            keys.push_back(setting);
        }
    };
    add("machine_dig", "rates.machine_volume");
    add("hand_dig", "rates.hand_volume");
    add("expose", "rates.crossing");
    for (const auto* pipe : {"pipe", "pipe_3in", "pipe_4in", "pipe_6in"}) {
        add(pipe, "rates.pipe");
    }
    add("junction", "junction.price");
    add("mobilisation", "rates.mobilisation");
    for (std::size_t i = 0; i < bend_items.size(); ++i) {
        add(std::string(bend_items[i]), std::string(bend_settings[i]));
    }
    for (const auto& [key, rate] : book.items) {
        if (key.starts_with("restore.")) {
            keys.push_back("surfaces." + key.substr(8) + ".restore");
        }
    }
    return keys;
}

} // namespace trenchwright
