#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";

} // namespace

std::vector<SettingRow> reading_settings()
{
    return {
        number_row({"reading.farthest", Measure::length, "5000 m", "500 m", "100000 m",
                    practice + "; lots of a real city's block reach 3 km",
                    "How far from the lot a coordinate is believed. A vertex farther away in a shape that comes near "
                    "the lot stops the run; shapes that lie beyond as a whole are left out."},
                   [](auto& rules) -> auto& { return rules.reading.farthest_m; }),
        number_row({"reading.around", Measure::length, "100 m", "100 m", "5000 m",
                    practice + "; more than any distance a rule may ask: setbacks end at 300 ft (91.44 m)",
                    "How far around the lot, and around the sources, outlets and heights measured on it, the other "
                    "layers are read."},
                   [](auto& rules) -> auto& { return rules.reading.around_m; }),
        number_row({"reading.past_lot_line", Measure::length, "3 ft", "0 ft", "100 ft",
                    practice + ": two maps of one lot differ by less",
                    "How far a building of ours may reach past the lot line before a warning names it."},
                   [](auto& rules) -> auto& { return rules.reading.past_lot_line_m; }),
        number_row({"reading.min_roof_area", Measure::area, "50 ft2", "1 ft2", "1000 ft2", practice,
                    "Minimum roof area at one downspout that is believed."},
                   [](auto& rules) -> auto& { return rules.reading.min_roof_area_m2; }),
        number_row({"reading.max_roof_area", Measure::area, "10000 ft2", "1000 ft2", "1000000 ft2", practice,
                    "Largest roof area at one downspout that is believed."},
                   [](auto& rules) -> auto& { return rules.reading.max_roof_area_m2; }),
    };
}

} // namespace trenchwright
