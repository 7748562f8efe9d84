#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

std::vector<SettingRow> dig_settings()
{
    return {
        number_row({"dig.deepest_cut", Measure::length, "4 ft", "6 in", "20 ft",
                    "29 CFR 1926.651(c)(2), quoted by an electrical association: means of egress from 4 ft",
                    "Deepest trench, ground to trench bottom; a deeper one is refused."},
                   [](auto& rules) -> auto& { return rules.route.deepest_cut_m; }),
        number_row({"dig.tolerance", Measure::length, "18 in", "12 in", "10 ft",
                    "CGA Best Practices 5-19, the common floor",
                    "Hand-dig zone on each side of a facility's outer edge. The state's figure may be larger (24 in, "
                    "30 in and 48 in are in force in places): set the one that binds the job."},
                   [](auto& rules) -> auto& { return rules.route.tolerance_m; }),
        number_row({"dig.tree_factor", Measure::factor, "1.25 ft/in", "0", "50", "NC State extension",
                    "Tree protection radius per trunk diameter; inside it roots are dug by hand."},
                   [](auto& rules) -> auto& { return rules.route.tree_factor; }),
        number_row({"dig.tree_keep_out_factor", Measure::factor, "0.25 ft/in", "0", "50",
                    "from memory, ANSI A300 (3 x trunk diameter)",
                    "Inner tree circle per trunk diameter; never entered."},
                   [](auto& rules) -> auto& { return rules.route.tree_keep_out_factor; }),
        number_row({"dig.swell", Measure::share, "25 %", "0 %", "100 %",
                    "common practice, no source (common earth 20 to 30 %)",
                    "Loose volume over in-place volume, less one: for spoil to haul."},
                   [](auto& rules) -> auto& { return rules.soil.swell_ratio; }),
        number_row({"dig.shrink", Measure::share, "12 %", "0 %", "50 %",
                    "common practice, no source (10 to 15 %; clay 12 %)",
                    "One less compacted volume over in-place volume: backfill takes that much more soil."},
                   [](auto& rules) -> auto& { return rules.soil.shrink_ratio; }),
        number_row({"dig.egress_and_air_test_cut", Measure::length, "4 ft", "1 ft", "20 ft",
                    "29 CFR 1926.651(c)(2) and (g), quoted by an electrical association",
                    "From this depth stations are flagged: means of egress, and atmospheric testing where bad air may "
                    "be expected."},
                   [](auto& rules) -> auto& { return rules.egress_and_air_test_cut_m; }),
        number_row({"dig.protective_system_cut", Measure::length, "5 ft", "1 ft", "20 ft",
                    "29 CFR 1926.652(a)(1), quoted by a Nevada OSHA letter",
                    "From this depth stations are flagged: protective system against cave-in."},
                   [](auto& rules) -> auto& { return rules.protective_system_cut_m; }),
    };
}

} // namespace trenchwright
