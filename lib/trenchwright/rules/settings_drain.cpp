#include "trenchwright/rules/settings_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sstream>

namespace trenchwright {

namespace {

std::vector<SettingRow> pipe_settings()
{
    return {
        word_row({"drain.pipe_name", Measure::word, "4 in SDR 35 PVC sewer pipe", "", "", "common practice, no source",
                  "Name of the pipe, printed only; the sizes below decide."},
                 [](auto& rules) -> auto& { return rules.pipe_name; }),
        number_row({"drain.pipe_outside_diameter", Measure::length, "4.215 in", "1 in", "36 in",
                    "ASTM D3034 (SDR 35), quoted on two pipe-data pages", "Outside diameter of the pipe."},
                   [](auto& rules) -> auto& { return rules.route.section.outside_diameter_m; }),
        number_row({"drain.pipe_wall", Measure::length, "0.12 in", "0.01 in", "4 in",
                    "ASTM D3034 (SDR 35), quoted on two pipe-data pages",
                    "Wall of the pipe; the bore is the outside diameter less two walls."},
                   [](auto& rules) -> auto& { return rules.route.section.wall_m; }),
        planned_inside_row(),
        number_row({"drain.stick_length", Measure::length, "10 ft", "1 ft", "40 ft", "from memory",
                    "Length of one stick of pipe: joints, and so grade breaks, lie this far apart."},
                   [](auto& rules) -> auto& { return rules.stick_length_m; }),
    };
}

std::vector<SettingRow> grade_settings()
{
    return {
        number_row({"drain.min_fall", Measure::fall, "1/8 in/ft", "0.05 %", "20 %",
                    "Chicago Municipal Code 18-29-1106.3", "Minimum fall of the pipe, everywhere."},
                   [](auto& rules) -> auto& { return rules.route.min_fall_ratio; }),
        number_row({"drain.min_extra_fall", Measure::length, "1 in", "0 in", "24 in", "common practice, no source",
                    "Routes keep this much extra fall where they can; one that drains with less gets a warning."},
                   [](auto& rules) -> auto& { return rules.min_extra_fall_m; }),
        number_row({"drain.drop_fall", Measure::fall, "100 %", "20 %", "1000 %", "common practice, no source",
                    "Pipe steeper than this is a riser with elbows and no grade."},
                   [](auto& rules) -> auto& { return rules.steep.drop_fall_ratio; }),
        number_row({"drain.min_joint_saving", Measure::money, "25", "0", "100000", "sample figure, not a price list",
                    "A change of grade at a pipe joint must save at least this much to be used."},
                   [](auto& rules) -> auto& { return rules.min_joint_saving; }),
    };
}

constexpr std::string_view ten_states =
    "Ten States Standards 33.46, read as quoted in Waverly OH codified ordinances 937.10 (e)";

SettingRow anchor_row(const char* key, Measure measure, const char* fallback, const char* help,
                      AnchorStep SteepRules::* step, double AnchorStep::* field)
{
    const bool fall = measure == Measure::fall;
    return number_row(
        {key, measure, fallback, fall ? "1 %" : "1 ft", fall ? "1000 %" : "1000 ft", std::string(ten_states), help},
        [=](auto& rules) -> auto& { return rules.steep.*step.*field; });
}

std::vector<SettingRow> anchor_settings()
{
    using Steep = SteepRules;
    return {
        anchor_row("anchors.fall", Measure::fall, "20 %", "From this fall on, anchors hold the pipe.", &Steep::steep,
                   &AnchorStep::fall_ratio),
        anchor_row("anchors.spacing", Measure::length, "36 ft", "They are no farther apart than this.", &Steep::steep,
                   &AnchorStep::spacing_m),
        anchor_row("anchors.fall_steeper", Measure::fall, "35 %", "From this fall on they stand closer.",
                   &Steep::steeper, &AnchorStep::fall_ratio),
        anchor_row("anchors.spacing_steeper", Measure::length, "24 ft", "No farther apart than this then.",
                   &Steep::steeper, &AnchorStep::spacing_m),
        anchor_row("anchors.fall_steepest", Measure::fall, "50 %", "From this fall on they stand closer still.",
                   &Steep::steepest, &AnchorStep::fall_ratio),
        anchor_row("anchors.spacing_steepest", Measure::length, "16 ft", "No farther apart than this then.",
                   &Steep::steepest, &AnchorStep::spacing_m),
    };
}

const std::string clear_water_codes = "clear water kept out of sanitary sewers: UPC 1101.2, codes of Dubuque IA, "
                                      "Piqua OH and Matteson IL; IPC 1101.3 from memory";

/// Words that may hold blanks themselves, parted by commas.
SettingRow sanitary_words_row()
{
    SettingRow row;
    row.setting = {"outlets.sanitary_words",
                   Measure::word,
                   "sanitary, sewer cleanout, combined, septic",
                   "",
                   "",
                   "words: common practice, no source; " + clear_water_codes,
                   "An inlet whose name or id has one of these words, separated by commas, is refused: it leads to a "
                   "sanitary or combined sewer."};
    row.word = [](const Rules& rules) { return fmt::format("{}", fmt::join(rules.route.sanitary_words, ", ")); };
    row.set_word = [](Rules& rules, const std::string& list) {
        rules.route.sanitary_words.clear();
        std::istringstream words(list);
        for (std::string word; std::getline(words >> std::ws, word, ',');) {
            rules.route.sanitary_words.push_back(word);
        }
    };
    return row;
}

std::vector<SettingRow> outlet_settings()
{
    return {
        number_row({"outlets.curb_clearance", Measure::length, "2 in", "0 in", "12 in",
                    "Los Angeles curb-drain procedure",
                    "Curb outlets: top of pipe at least this far under the top of the curb."},
                   [](auto& rules) -> auto& { return rules.route.curb_clearance_m; }),
        yes_no_row({"outlets.reducer", Measure::word, "yes", "yes|no", "",
                    "Silverton OR public works standards, appendix B, note 60",
                    "Whether a drain whose pipe does not fit a curb may end in the next smaller one of [pipes], behind "
                    "a reducer."},
                   [](auto& rules) -> auto& { return rules.curb_reducer; }),
        number_row({"outlets.reducer_length", Measure::length, "8 ft", "1 ft", "30 ft",
                    "behind the sidewalk: Silverton OR, note 60; length: common practice, no source",
                    "Length of that smaller pipe, from the curb to the reducer."},
                   [](auto& rules) -> auto& { return rules.route.reducer_length_m; }),
        number_row({"outlets.curb_width", Measure::length, "6 in", "0 in", "3 ft", "common practice, no source",
                    "Curb outlets whose record states the top: so far behind the face the ground runs from that top to "
                    "the surveyed ground."},
                   [](auto& rules) -> auto& { return rules.route.curb_width_m; }),
        number_row({"outlets.curb_top_tolerance", Measure::length, "2 in", "0 in", "3 ft", "common practice, no source",
                    "The surveyed ground behind a curb may differ from the top its record states by this before a "
                    "warning names both."},
                   [](auto& rules) -> auto& { return rules.curb_top_tolerance_m; }),
        number_row({"outlets.eased_cover", Measure::length, "2 in", "0 in", "24 in",
                    "the least a drainage contractor takes in a lawn, how-to page",
                    "Minimum cover near a curb or swale outlet, where the pipe must come up to meet it; never into a "
                    "slab or its gap, nor under what carries vehicles."},
                   [](auto& rules) -> auto& { return rules.route.outlet_cover_m; }),
        number_row({"outlets.slab_gap", Measure::length, "2 in", "0 in", "24 in", "common practice, no source",
                    "Underside of a slab (ground_cover.*.slab) to the top of the pipe, at least, everywhere."},
                   [](auto& rules) -> auto& { return rules.route.slab_gap_m; }),
        number_row({"outlets.eased_reach", Measure::length, "20 ft", "0 ft", "100 ft", "common practice, no source",
                    "How near to a curb or swale outlet outlets.eased_cover stands in for the surface's own cover."},
                   [](auto& rules) -> auto& { return rules.route.outlet_reach_m; }),
        number_row(
            {"outlets.daylight_length", Measure::length, "3 ft", "0 ft", "20 ft", "common practice, no source",
             "Swale outlets: over this last distance the pipe may come out of the ground, but not under paving."},
            [](auto& rules) -> auto& { return rules.route.daylight_length_m; }),
        number_row({"outlets.popup_drop", Measure::length, "12 in", "0 in", "4 ft", "common practice, no source",
                    "Yard outlets: lid down to the lowest invert of the elbow under it, where the outlet states none."},
                   [](auto& rules) -> auto& { return rules.route.popup_drop_m; }),
        number_row({"outlets.sewer_distance", Measure::length, "5 ft", "0 ft", "100 ft",
                    "distance: common practice, no source; " + clear_water_codes,
                    "An inlet within this of a sewer mark that is not stated to be storm is refused, unless its "
                    "record says sewer = \"storm\"."},
                   [](auto& rules) -> auto& { return rules.route.sewer_distance_m; }),
        sanitary_words_row(),
    };
}

std::vector<SettingRow> width_settings()
{
    return {
        word_row({"drain.width_preset", Measure::word, "yard practice", "yard practice|standard|own", "",
                  "yard practice: common practice, no source (12 in bucket); standard: ASTM D2321 rule via a pipe "
                  "maker's guide",
                  "Trench width: 12 in; or the greater of outside diameter + 16 in and 1.25 outside diameters + 12 "
                  "in; or drain.trench_width."},
                 [](auto& rules) -> auto& { return rules.width_preset; }),
        number_row({"drain.trench_width", Measure::length, "12 in", "2 in", "8 ft", "common practice, no source",
                    "Trench width where drain.width_preset is \"own\"; no effect otherwise."},
                   [](auto& rules) -> auto& { return rules.own_width_m; }),
        number_row({"drain.bedding", Measure::length, "4 in", "0 in", "24 in", "plastic-drain specification",
                    "Bedding under the pipe; 6 in is required over rock."},
                   [](auto& rules) -> auto& { return rules.route.section.bedding_m; }),
    };
}

} // namespace

std::vector<SettingRow> drain_settings()
{
    auto rows = pipe_settings();
    for (const auto& more : {grade_settings(), outlet_settings(), width_settings(), anchor_settings()}) {
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

} // namespace trenchwright
