#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

SettingRow outside_lot_row()
{
    SettingRow row;
    row.setting = {"route.outside_lot",
                   Measure::word,
                   "right-of-way only",
                   "right-of-way only|not neighbors",
                   "",
                   "common practice, no source",
                   "Ground outside our lot that may be entered: the right-of-way alone, or all but neighbors' lots."};
    row.word = [](const Rules& rules) {
        const bool only = rules.route.outside_lot == OutsideLot::right_of_way_only;
        return std::string(only ? "right-of-way only" : "not neighbors");
    };
    row.set_word = [](Rules& rules, const std::string& word) {
        rules.route.outside_lot =
            word == "right-of-way only" ? OutsideLot::right_of_way_only : OutsideLot::not_neighbors;
    };
    return row;
}

std::vector<SettingRow> clearance_settings()
{
    return {
        outside_lot_row(),
        number_row({"route.foundation_clearance", Measure::length, "2 ft", "0 ft", "30 ft",
                    "common practice, no source",
                    "Trench edge to foundation, except where the pipe leaves the wall. The footing depth is not "
                    "known here: this is no proof that the footing is not undermined."},
                   [](auto& rules) -> auto& { return rules.route.foundation_clearance_m; }),
        number_row(
            {"route.wall_exit_length", Measure::length, "5 ft", "0 ft", "30 ft", "common practice, no source",
             "Within this of a source the foundation clearance is waived, but never the pipe itself beyond its way "
             "out of the wall."},
            [](auto& rules) -> auto& { return rules.route.wall_exit_length_m; }),
        number_row({"route.boundary_snap", Measure::length, "2 in", "0 in", "3 ft", "common practice, no source",
                    "Boundaries that two layers share (lot and right-of-way) may disagree by this."},
                   [](auto& rules) -> auto& { return rules.route.boundary_snap_m; }),
        number_row({"route.keep_out_clearance", Measure::length, "6 in", "0 in", "30 ft", "common practice, no source",
                    "Trench edge to keep-outs, neighbors and surfaces that may not be entered."},
                   [](auto& rules) -> auto& { return rules.route.keep_out_clearance_m; }),
        number_row(
            {"route.min_crossing_angle", Measure::angle, "45 deg", "0 deg", "60 deg",
             "INGAA Foundation, Guidelines for Crossing Natural Gas Pipelines: 45 to 90 deg",
             "Nearer to a mark than its side gap or in its hand-dig zone, a trench runs along it unless it passes "
             "once to the other side, nowhere flatter than this, and no longer than straight."},
            [](auto& rules) -> auto& { return rules.route.min_crossing_angle_rad; }),
        number_row({"route.wanted_crossing_angle", Measure::angle, "60 deg", "0 deg", "90 deg",
                    "common practice, no source", "A mark crossed flatter than this is a warning."},
                   [](auto& rules) -> auto& { return rules.route.wanted_crossing_angle_rad; }),
    };
}

std::vector<SettingRow> bend_settings()
{
    return {
        number_row({"route.min_run", Measure::length, "1 ft", "0 ft", "20 ft", "common practice, no source",
                    "Straight pipe between two bends, at least."},
                   [](auto& rules) -> auto& { return rules.route.min_run_m; }),
        number_row({"route.max_turn", Measure::angle, "90 deg", "11.25 deg", "90 deg", "common practice, no source",
                    "Sharpest turn of one bend, made of up to two fittings."},
                   [](auto& rules) -> auto& { return rules.route.max_turn_rad; }),
        number_row({"route.max_bends", Measure::count, "8", "0", "100",
                    "common practice, no source: each bend is a fitting to set and a place to clog",
                    "Bends of one trench; more get a warning with their number and price."},
                   [](auto& rules) -> auto& { return rules.max_bends_count; }),
        number_row({"route.max_deflection", Measure::angle, "5.7 deg", "0 deg", "10 deg",
                    "common practice, no source (half the step between fittings)",
                    "A bend may differ from its fittings by this much in all, taken up in the joints; ask the pipe "
                    "maker."},
                   [](auto& rules) -> auto& { return rules.route.max_deflection_rad; }),
    };
}

} // namespace

std::vector<SettingRow> route_settings()
{
    auto rows = clearance_settings();
    const auto more = bend_settings();
    rows.insert(rows.end(), more.begin(), more.end());
    return rows;
}

} // namespace trenchwright
