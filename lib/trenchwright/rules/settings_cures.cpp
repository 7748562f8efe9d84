#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

std::vector<SettingRow> pipe_limits()
{
    return {
        yes_no_row({"cures.look", Measure::word, "yes", "yes|no", "", "common practice, no source",
                    "Looks for the single changes that would let a refused outlet work. The limits below say how far "
                    "one may go; none of them is a leave to do it."},
                   [](auto& rules) -> auto& { return rules.cures.look; }),
        number_row({"cures.min_cover", Measure::length, "2 in", "0 in", "10 ft",
                    "the least a drainage contractor takes in a lawn, how-to page",
                    "Cover that a change may go down to where no vehicles go."},
                   [](auto& rules) -> auto& { return rules.cures.min_cover_m; }),
        number_row({"cures.min_drive_cover", Measure::length, "12 in", "0 in", "10 ft",
                    "how-to pages (12 in under drives and walks)",
                    "Cover that a change may go down to where vehicles go."},
                   [](auto& rules) -> auto& { return rules.cures.min_drive_cover_m; }),
        number_row({"cures.min_fall", Measure::fall, "1/16 in/ft", "0.05 %", "20 %",
                    "Chicago Municipal Code, table 18-29-704.1 (there for 8 in pipe and larger)",
                    "Fall that a change may go down to."},
                   [](auto& rules) -> auto& { return rules.cures.min_fall_ratio; }),
        number_row({"cures.min_slab_gap", Measure::length, "0 in", "0 in", "24 in", "common practice, no source",
                    "Gap between a slab and the pipe that a change may go down to."},
                   [](auto& rules) -> auto& { return rules.cures.min_slab_gap_m; }),
    };
}

std::vector<SettingRow> ground_limits()
{
    return {
        number_row({"cures.max_cut", Measure::length, "5 ft", "1 ft", "20 ft",
                    "29 CFR 1926.652(a)(1): from 5 ft on a cut needs a protective system",
                    "Cut that a change may go down to."},
                   [](auto& rules) -> auto& { return rules.cures.max_cut_m; }),
        number_row({"cures.max_move", Measure::length, "10 ft", "0 ft", "100 ft", "common practice, no source",
                    "How far a change may move an outlet that is a single place."},
                   [](auto& rules) -> auto& { return rules.cures.max_move_m; }),
        number_row({"cures.max_raise", Measure::length, "12 in", "0 in", "10 ft", "common practice, no source",
                    "How far a change may raise the ground, or the opening in the wall."},
                   [](auto& rules) -> auto& { return rules.cures.max_raise_m; }),
    };
}

} // namespace

std::vector<SettingRow> cure_settings()
{
    auto rows = pipe_limits();
    const auto more = ground_limits();
    rows.insert(rows.end(), more.begin(), more.end());
    return rows;
}

} // namespace trenchwright
