#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <iterator>

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";

std::vector<SettingRow> check_settings()
{
    return {
        number_row({"check.spot_off", Measure::length, "3 ft", "2 in", "100 ft", practice + ": more than a yard's wall",
                    "How far a shot lies off the plane of the eight shots nearest to it, before it is doubted."},
                   [](auto& rules) -> auto& { return rules.reading.checks.spot_off_m; }),
        number_row({"check.spot_off_factor", Measure::factor, "8", "2", "1000", practice,
                    "And by how many times what half of the shots are off by."},
                   [](auto& rules) -> auto& { return rules.reading.checks.spot_off_factor; }),
        number_row({"check.zero_height", Measure::length, "5 m", "1 m", "1000 m", practice,
                    "Heights of 0 are doubted where the others lie farther than this from 0."},
                   [](auto& rules) -> auto& { return rules.reading.checks.zero_height_m; }),
        number_row({"check.unit_ratio", Measure::factor, "0.02", "0.001", "0.2", practice,
                    "How near to 3.28084 two heights stand to each other that are taken for feet and meters."},
                   [](auto& rules) -> auto& { return rules.reading.checks.unit_ratio; }),
        number_row({"check.outlet_off", Measure::length, "1 ft", "1 in", "30 ft", practice + ": two curbs high",
                    "How far a gutter or a curb top lies off the ground beside it, and an invert above it, before it is "
                    "doubted."},
                   [](auto& rules) -> auto& { return rules.reading.checks.curb_off_m; }),
        number_row({"check.source_off_wall", Measure::length, "2 ft", "1 in", "100 ft", practice + ": wider eaves are rare",
                    "How far a source stands from the nearest wall of our house, before it is doubted."},
                   [](auto& rules) -> auto& { return rules.reading.checks.source_off_wall_m; }),
        number_row({"check.same_place", Measure::length, "10 mm", "0.1 mm", "1 m", practice,
                    "How near to each other the corners of two marks lie that are one line."},
                   [](auto& rules) -> auto& { return rules.reading.checks.same_place_m; }),
    };
}

} // namespace

std::vector<SettingRow> reading_settings()
{
    std::vector<SettingRow> rows{
        number_row({"reading.farthest", Measure::length, "5000 m", "500 m", "100000 m",
                    practice + "; lots of a real city's block reach 3 km",
                    "How far from the lot a coordinate is believed. A vertex farther away in a shape that comes near "
                    "the lot stops the run; shapes that lie beyond as a whole are left out."},
                   [](auto& rules) -> auto& { return rules.reading.farthest_m; }),
        number_row({"reading.around", Measure::length, "100 m", "95 m", "5000 m",
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
    std::ranges::move(check_settings(), std::back_inserter(rows));
    return rows;
}

} // namespace trenchwright
