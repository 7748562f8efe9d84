#include "trenchwright/estimate/estimate.hpp"
#include "trenchwright/rules/settings_book.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

const std::string sample = "sample figure, not a price list";

std::vector<SettingRow> length_rates()
{
    return {
        number_row({"rates.pipe", Measure::money_per_length, "6/ft", "0/ft", "10000/ft", sample,
                    "Pipe and bedding, supplied and laid."},
                   [](auto& rules) -> auto& { return rules.route.pipe_per_m; }),
        number_row({"rates.machine_length", Measure::money_per_length, "4/ft", "0/ft", "10000/ft", sample,
                    "Digging by machine, by length whatever the depth."},
                   [](auto& rules) -> auto& { return rules.route.machine_per_m; }),
        number_row({"rates.hand_length", Measure::money_per_length, "8/ft", "0/ft", "10000/ft", sample,
                    "Digging by hand, by length whatever the depth."},
                   [](auto& rules) -> auto& { return rules.route.hand_per_m; }),
        number_row({"rates.parallel", Measure::money_per_length, "500/ft", "0/ft", "100000/ft",
                    "common practice, no source",
                    "Deterrent against running along a mark inside its hand-dig zone; never part of a price."},
                   [](auto& rules) -> auto& { return rules.route.parallel_per_m; }),
    };
}

std::vector<SettingRow> volume_rates()
{
    return {
        number_row({"rates.machine_volume", Measure::money_per_volume, "45/yd3", "0/yd3", "100000/yd3", sample,
                    "Dig, backfill and haul by machine, per in-place volume."},
                   [](auto& rules) -> auto& { return rules.route.machine_per_m3; }),
        number_row({"rates.hand_volume", Measure::money_per_volume, "160/yd3", "0/yd3", "100000/yd3", sample,
                    "Dig, backfill and haul by hand or vacuum, per in-place volume."},
                   [](auto& rules) -> auto& { return rules.route.hand_per_m3; }),
    };
}

std::vector<SettingRow> fixed_rates()
{
    return {
        number_row({"rates.crossing", Measure::money, "90", "0", "100000", sample,
                    "Potholing one utility where the trench crosses it."},
                   [](auto& rules) -> auto& { return rules.route.crossing_price; }),
        number_row({"rates.mobilization", Measure::money, "350", "0", "1000000", sample,
                    "Mobilization of crew and machine, once for an outlet."},
                   [](auto& rules) -> auto& { return rules.mobilization; }),
        number_row({"restore.extra_width", Measure::length, "6 in", "0 in", "10 ft", "common practice, no source",
                    "Surface opened beyond the trench, on each side."},
                   [](auto& rules) -> auto& { return rules.restore_extra_width_m; }),
    };
}

/// What is bought or hired beside the trench itself.
struct ItemDefault {
    std::string_view item; ///< key of its RateKind
    std::string_view price;
    std::string_view help;
};
constexpr std::array<ItemDefault, 19> item_defaults{{
    {"cleanout", "65", "One cleanout with riser and cap, supplied and set."},
    {"adapter", "36", "One adapter from a downspout to the drain, supplied and set."},
    {"pump_connection", "100", "Connecting the line of one pump."},
    {"wall_core", "180", "One core through the foundation wall."},
    {"outlet_curb", "350", "One curb cut or core, with its end piece."},
    {"outlet_popup", "75", "One pop-up emitter with its elbow, supplied and set."},
    {"outlet_inlet", "260", "One connection to an inlet."},
    {"outlet_swale", "100", "One open end in a swale, with its guard and stone."},
    {"sidewalk_bore", "36/ft", "Boring under a sidewalk in place of opening it; compare.variants."},
    {"anchor", "85", "One anchor of steep pipe, of concrete or equal, supplied and set."},
    {"reducer", "24", "One reducer to a smaller pipe at a curb, supplied and set."},
    {"shallow_cover", "2/ft", "Pipe that lies under less than the cover wanted: what protects it, by length."},
    {"private_locate", "350", "Having the lines located that the one-call center does not mark, once for an outlet."},
    {"irrigation_repair", "150", "Allowance for repairing irrigation lines, once for an outlet."},
    {"traffic_control", "300", "Signs and cones where a trench enters the street, once for an outlet."},
    {"as_built", "150", "Measuring the pipe as laid for the record drawing, once for an outlet."},
    {"inside_dig", "240/yd3", "Digging by hand inside for the footing drain, per in-place volume."},
    {"inside_stone", "90/yd3", "Stone of the footing drain, placed."},
    {"inside_pipe", "5/ft", "Pipe of the footing drain, laid."},
}};

double& price_of(Rules& rules, const std::string& item)
{
    return rules.item_price[item];
}
const double& price_of(const Rules& rules, const std::string& item)
{
    return rules.item_price.at(item);
}

std::vector<SettingRow> item_rates()
{
    std::vector<SettingRow> rows;
    for (const auto& [item, price, help] : item_defaults) {
        const std::string key(item);
        const auto per = rate_kind(item)->per;
        const std::string unit = per == RatePer::each ? "" : fmt::format("/{}", unit_of(per, UnitSystem::us));
        rows.push_back(number_row({"rates." + key, measure_of(per), std::string(price), "0" + unit, "100000" + unit,
                                   sample + ", from memory", std::string(help)},
                                  [key](auto& rules) -> auto& { return price_of(rules, key); }));
    }
    return rows;
}

struct FittingDefault {
    std::string_view name;
    std::string_view angle;
    std::string_view price;
};
constexpr std::array<FittingDefault, 4> fitting_defaults{
    {{"11", "11 1/4", "32"}, {"22", "22 1/2", "30"}, {"45", "45", "28"}, {"90", "90", "32"}}};

} // namespace

std::vector<SettingRow> rate_settings()
{
    auto rows = length_rates();
    for (const auto& more : {volume_rates(), item_rates(), fixed_rates()}) {
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

std::vector<SettingRow> fitting_settings()
{
    std::vector<SettingRow> rows;
    for (std::size_t i = 0; i < fitting_defaults.size(); ++i) {
        const auto& [name, angle, price] = fitting_defaults[i];
        rows.push_back(
            yes_no_row({fmt::format("fittings.use_{}", name), Measure::word, "yes", "yes|no", "",
                        "common practice, no source", fmt::format("Whether bends of {} deg may be used.", angle)},
                       [i](auto& rules) -> auto& { return rules.fitting_choices.at(i).use; }));
        rows.push_back(number_row({fmt::format("fittings.price_{}", name), Measure::money, std::string(price), "0",
                                   "100000", sample, fmt::format("One bend of {} deg, supplied and set.", angle)},
                                  [i](auto& rules) -> auto& { return rules.fitting_choices.at(i).fitting.price; }));
    }
    rows.push_back(number_row({"fittings.price_coupling", Measure::money, "9", "0", "100000", sample,
                               "A bend that the joints take up: pipe cut and a coupling, supplied and set."},
                              [](auto& rules) -> auto& { return rules.route.coupling_price; }));
    return rows;
}

} // namespace trenchwright
