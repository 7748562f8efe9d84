#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";

SettingRow spoil_row()
{
    SettingRow row;
    row.setting = {"footing.spoil",
                   Measure::word,
                   "carry out",
                   "carry out|keep inside",
                   "",
                   practice,
                   "Where the surplus soil from inside goes: carried out, or spread on the crawl space floor."};
    row.word = [](const Rules& rules) {
        return std::string(rules.footing.keep_spoil_inside ? "keep inside" : "carry out");
    };
    row.set_word = [](Rules& rules, const std::string& word) {
        rules.footing.keep_spoil_inside = word == "keep inside";
    };
    return row;
}

std::vector<SettingRow> footing_trench_settings()
{
    return {
        number_row({"footing.trench_depth", Measure::length, "8 in", "4 in", "3 ft", practice,
                    "Crawl floor to trench bottom at the far end; toward the pit it is deeper by the fall."},
                   [](auto& rules) -> auto& { return rules.footing.trench_depth_m; }),
        number_row({"footing.trench_width", Measure::length, "8 in", "4 in", "3 ft", practice + " (one shovel wide)",
                    "Width of the trench along the footing, dug by hand."},
                   [](auto& rules) -> auto& { return rules.footing.trench_width_m; }),
        number_row({"footing.min_fall", Measure::fall, "1/8 in/ft", "0 %", "5 %",
                    "Chicago Municipal Code 18-29-1106.3, of storm drains; footing pipe is often laid flatter",
                    "Fall of the pipe along the footing, all the way to the pit."},
                   [](auto& rules) -> auto& { return rules.footing.min_fall_ratio; }),
        number_row({"footing.join_reach", Measure::length, "6 in", "0 in", "3 ft", practice,
                    "A footing drain that ends this near another one runs into it."},
                   [](auto& rules) -> auto& { return rules.footing.join_reach_m; }),
        spoil_row(),
    };
}

std::vector<SettingRow> footing_pipe_settings()
{
    const std::string sizes = "ASTM D2729 (4 in), from memory";
    return {
        word_row({"footing.pipe_name", Measure::word, "4 in perforated PVC drain pipe, ASTM D2729", "", "", practice,
                  "Name of the pipe along the footing, printed only; the sizes below decide."},
                 [](auto& rules) -> auto& { return rules.footing_pipe_name; }),
        number_row({"footing.pipe_outside_diameter", Measure::length, "4.215 in", "1 in", "12 in", sizes,
                    "Outside diameter of the pipe along the footing."},
                   [](auto& rules) -> auto& { return rules.footing.outside_diameter_m; }),
        number_row({"footing.pipe_wall", Measure::length, "0.075 in", "0.01 in", "1 in", sizes, "Its wall."},
                   [](auto& rules) -> auto& { return rules.footing.wall_m; }),
    };
}

std::vector<SettingRow> footing_stone_settings()
{
    return {
        number_row({"footing.stone_under", Measure::length, "2 in", "0 in", "12 in",
                    "IRC R405.1, quoted on a code forum", "Stone under the pipe along the footing."},
                   [](auto& rules) -> auto& { return rules.footing.stone_under_m; }),
        number_row({"footing.stone_beside", Measure::length, "1 1/2 in", "0 in", "12 in", practice,
                    "Stone on each side of the pipe, at least; the stone fills the width of the trench."},
                   [](auto& rules) -> auto& { return rules.footing.stone_beside_m; }),
        number_row({"footing.stone_over", Measure::length, "1 1/2 in", "0 in", "12 in",
                    practice + " (IRC R405.1 requires 6 in outside the house)",
                    "Stone over the pipe; the rest of the trench is filled with the soil dug."},
                   [](auto& rules) -> auto& { return rules.footing.stone_over_m; }),
    };
}

std::vector<SettingRow> cleanout_settings()
{
    const std::string turns = "IPC 708.1.4, quoted in a forum";
    return {
        number_row({"cleanouts.spacing", Measure::length, "50 ft", "5 ft", "300 ft",
                    "Chicago Municipal Code 18-29-708.3.1: 50 ft for pipe of 4 in and less, else 100 ft",
                    "Pipe between two cleanouts, and below the last one, at most."},
                   [](auto& rules) -> auto& { return rules.cleanouts.spacing_m; }),
        number_row({"cleanouts.max_turn", Measure::angle, "45 deg", "0 deg", "360 deg", turns,
                    "Sum of the bends between two cleanouts, at most, without those a cleanout serves."},
                   [](auto& rules) -> auto& { return rules.cleanouts.max_turn_rad; }),
        number_row({"cleanouts.served_length", Measure::length, "40 ft", "0 ft", "300 ft", turns,
                    "A cleanout serves all bends of this length of pipe below it."},
                   [](auto& rules) -> auto& { return rules.cleanouts.served_m; }),
    };
}

std::vector<SettingRow> material_settings()
{
    return {
        number_row({"materials.waste", Measure::share, "5 %", "0 %", "50 %", practice,
                    "Pipe cut off and spoilt, over the pipe laid; then whole sticks are counted."},
                   [](auto& rules) -> auto& { return rules.materials.waste_ratio; }),
        number_row({"materials.stone_density", Measure::density, "100 lb/ft3", "75 lb/ft3", "130 lb/ft3",
                    "three consumer pages: a 50 lb bag of pea gravel holds 0.5 ft3",
                    "Weight of stone by volume, loose; common stone has 75 to 110, wet 125 lb/ft3."},
                   [](auto& rules) -> auto& { return rules.materials.stone_kg_per_m3; }),
        number_row({"materials.bag_yield", Measure::volume, "0.5 ft3", "0.1 ft3", "5 ft3",
                    "three consumer pages: a 50 lb bag of pea gravel holds 0.5 ft3", "Stone in one bag."},
                   [](auto& rules) -> auto& { return rules.footing.bag_yield_m3; }),
    };
}

} // namespace

std::vector<SettingRow> footing_settings()
{
    auto rows = footing_trench_settings();
    for (const auto& more :
         {footing_pipe_settings(), footing_stone_settings(), cleanout_settings(), material_settings()}) {
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

} // namespace trenchwright
