#include "plan/settings_table.hpp"

namespace trenchwright {

namespace {

std::vector<SettingRow> tie_settings()
{
    return {
        number_row(
            {"dig.tie_least_angle", Measure::angle, "45 deg", "15 deg", "90 deg",
             "trade practice, from memory: arcs cross between 45 and 135 deg",
             "Two tape ties fix a place well when their arcs cross at this angle or more, and at 180 deg less it "
             "or less; other pairs are given only where there is no such pair, and said to be weak."},
            [](auto& rules) -> auto& { return rules.ties.least_angle_rad; }),
        number_row({"dig.tape_length", Measure::length, "100 ft", "10 ft", "500 ft",
                    "trade practice, from memory: one tape", "Longest tape tie from a corner of the building."},
                   [](auto& rules) -> auto& { return rules.ties.tape_length_m; }),
        number_row({"dig.tie_corner_turn", Measure::angle, "30 deg", "5 deg", "90 deg", "common practice, no source",
                    "A wall that turns by less has no corner at which a tape can be held."},
                   [](auto& rules) -> auto& { return rules.ties.corner_turn_rad; }),
    };
}

} // namespace

std::vector<SettingRow> mark_settings()
{
    return tie_settings();
}

} // namespace trenchwright
