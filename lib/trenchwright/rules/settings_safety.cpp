#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";
const std::string table_b1 = "29 CFR 1926 Subpart P, App. B, table B-1, quoted on two training pages";

/// A yes-or-no setting in two words of its own.
template <class Field>
SettingRow two_words(Setting setting, const std::string& no, const std::string& yes, const Field& field)
{
    SettingRow row;
    setting.measure = Measure::word;
    setting.lowest = no + "|" + yes;
    row.setting = std::move(setting);
    row.word = [field, no, yes](const Rules& rules) { return field(rules) ? yes : no; };
    row.set_word = [field, yes](Rules& rules, const std::string& word) { field(rules) = word == yes; };
    return row;
}

template <class Rule>
void add_setback(std::vector<SettingRow>& rows, const std::string& kind, const std::string& distance,
                 const std::string& source, const std::string& help, Rule rule)
{
    rows.push_back(number_row({"setbacks." + kind, Measure::length, distance, "0 ft", "300 ft", source, help},
                              [rule](auto& rules) -> auto& { return rule(rules).distance_m; }));
}

/// Whether the distance is kept or only said.
template <class Rule>
void add_severity(std::vector<SettingRow>& rows, const std::string& kind, const std::string& fallback,
                  const std::string& source, Rule rule)
{
    rows.push_back(two_words({"setbacks." + kind + "_is", Measure::word, fallback, "", "", source,
                              "hard: no route comes nearer; warn: a finding says where one does."},
                             "warn", "hard", [rule](auto& rules) -> auto& { return rule(rules).hard; }));
}

std::vector<SettingRow> setback_settings()
{
    std::vector<SettingRow> rows;
    const std::string by_edge = ", by the trench's edge.";
    const std::string septic_codes = "Clark County WA 24.17.120 table IV (as WAC 246-272A): 10 ft up the slope, 30 ft "
                                     "where effluent could surface below; Minnesota stormwater manual: 35 ft for "
                                     "infiltration";
    const std::string well_codes = "Indiana DNR table 1: 10 ft for a clear-water drain, 25 ft for storm pipe with "
                                   "push-on joints, 50 ft for other; Bern PA 180-4: 25 ft";
    const auto lot_line = [](auto& rules) -> auto& { return rules.route.setbacks.lot_line; };
    const auto well = [](auto& rules) -> auto& { return rules.route.setbacks.well; };
    const auto septic = [](auto& rules) -> auto& { return rules.route.setbacks.septic; };
    const auto easement = [](auto& rules) -> auto& { return rules.route.setbacks.easement; };
    add_setback(rows, "lot_line", "2 ft", practice,
                "Trench to our lot's edge off the street, at source and outlet too" + by_edge, lot_line);
    add_severity(rows, "lot_line", "warn", practice, lot_line);
    add_setback(rows, "foundation", "2 ft", practice,
                "Trench to the foundation beyond the wall exit" + by_edge +
                    " The hard one is route.foundation_clearance.",
                [](auto& rules) -> auto& { return rules.route.setbacks.foundation; });
    add_setback(rows, "street_line", "0 ft", practice,
                "Trench to our lot's edge along the right-of-way, where it does not end there" + by_edge,
                [](auto& rules) -> auto& { return rules.route.setbacks.street_line; });
    add_setback(rows, "well", "10 ft", well_codes, "Trench to a well, which none may enter" + by_edge, well);
    add_severity(rows, "well", "hard", well_codes, well);
    add_setback(rows, "septic", "10 ft", septic_codes,
                "Trench to the tank, field and lines of a septic system; none may enter tank or field" + by_edge,
                septic);
    add_severity(rows, "septic", "hard", septic_codes, septic);
    add_setback(rows, "easement", "0 ft", practice, "Trench to an easement" + by_edge, easement);
    add_severity(rows, "easement", "hard", practice + "; warn once its holder has agreed in writing", easement);
    return rows;
}

std::vector<SettingRow> tree_settings()
{
    return {
        two_words({"trees.method", Measure::word, "hand dig", "", "", "trade pages: hand dig, air spade or bore",
                   "How the line passes a tree's protected circle."},
                  "hand dig", "bore", [](auto& rules) -> auto& { return rules.safety.trees.bore; }),
        number_row({"trees.bore_price", Measure::money_per_length, "45/ft", "0/ft", "10000/ft",
                    "sample figure: put your own", "Boring under roots, by length, in place of hand digging there."},
                   [](auto& rules) -> auto& { return rules.safety.trees.bore_per_m; }),
        number_row({"trees.bore_cover", Measure::length, "24 in", "6 in", "10 ft",
                    "from memory: bores 24 to 36 in deep",
                    "Ground to top of pipe where the line is bored under roots; less is a finding."},
                   [](auto& rules) -> auto& { return rules.safety.trees.bore_cover_m; }),
        number_row({"trees.hold_factor", Measure::number, "5", "0", "50",
                    "ANSI A300 (3 to 5 x trunk diameter), 5 as seen on a landscaper's page",
                    "A trench nearer than this times the trunk diameter may destabilize the tree."},
                   [](auto& rules) -> auto& { return rules.safety.trees.hold_factor; }),
        number_row({"trees.largest_root", Measure::length, "1 in", "0 in", "12 in", "from memory: 1 to 2 in",
                    "Thicker roots are not cut without an arborist."},
                   [](auto& rules) -> auto& { return rules.safety.trees.largest_root_m; }),
    };
}

SettingRow slope_row(const std::string& type, const std::string& slope, double ProtectionRules::* field)
{
    return number_row({"protection.slope_" + type, Measure::number, slope, "0", "10", table_b1,
                       "Side slope in soil type " + type + ", across per up."},
                      [field](auto& rules) -> auto& { return rules.safety.protection.*field; });
}

std::vector<SettingRow> protection_settings()
{
    return {
        word_row({"protection.soil", Measure::word, "unknown", "rock|A|B|C|unknown", "",
                  "29 CFR 1926 Subpart P, App. A", "Type a competent person gave the soil; unknown counts as C."},
                 [](auto& rules) -> auto& { return rules.safety.protection.soil; }),
        slope_row("a", "0.75", &ProtectionRules::slope_a_ratio),
        slope_row("b", "1", &ProtectionRules::slope_b_ratio),
        slope_row("c", "1.5", &ProtectionRules::slope_c_ratio),
        two_words({"protection.method", Measure::word, "slope", "", "", practice,
                   "From dig.protective_system_cut on: sides sloped by the soil's type, or shored."},
                  "slope", "shore", [](auto& rules) -> auto& { return rules.safety.protection.shore; }),
        number_row({"protection.shore_price", Measure::money_per_area, "6/ft2", "0/ft2", "10000/ft2",
                    "sample figure: put your own", "Shoring, by area of the supported faces."},
                   [](auto& rules) -> auto& { return rules.safety.protection.shore_per_m2; }),
        number_row({"protection.egress_reach", Measure::length, "25 ft", "1 ft", "100 ft",
                    "29 CFR 1926.651(c)(2), quoted by an electrical association",
                    "Maximum travel along the trench to a means of egress."},
                   [](auto& rules) -> auto& { return rules.safety.protection.egress_reach_m; }),
        number_row({"protection.guard_cut", Measure::length, "6 ft", "1 ft", "20 ft",
                    "29 CFR 1926.501(b)(7); Indiana contractors' association",
                    "From this depth the edge is guarded and walkways over it have rails."},
                   [](auto& rules) -> auto& { return rules.safety.protection.guard_cut_m; }),
        number_row({"protection.engineer_cut", Measure::length, "20 ft", "4 ft", "20 ft", "29 CFR 1926 Subpart P",
                    "From this depth a registered engineer designs the protection."},
                   [](auto& rules) -> auto& { return rules.safety.protection.engineer_cut_m; }),
    };
}

std::vector<SettingRow> spoil_settings()
{
    return {
        number_row({"spoil.setback", Measure::length, "2 ft", "0 ft", "20 ft",
                    "29 CFR 1926.651(j)(2), quoted by the Indiana contractors' association",
                    "Trench edge to the foot of the spoil pile, at least."},
                   [](auto& rules) -> auto& { return rules.safety.spoil_setback_m; }),
        number_row({"spoil.repose", Measure::angle, "35 deg", "10 deg", "60 deg", practice,
                    "Steepest slope of the spoil pile."},
                   [](auto& rules) -> auto& { return rules.safety.repose_rad; }),
        word_row({"spoil.keep_off", Measure::word, "sidewalk driveway patio public_sidewalk street", "", "", practice,
                  "Kinds of surface on which no spoil may lie, separated by spaces."},
                 [](auto& rules) -> auto& { return rules.safety.spoil_off; }),
    };
}

std::vector<SettingRow> yard_settings()
{
    return {
        number_row({"aim.neighbor_distance", Measure::length, "10 ft", "0 ft", "300 ft",
                    "a Missouri town code (ecode360 30920350): 10 ft; others require 5 ft",
                    "Water let out must not cross a neighbor's boundary within this of the outlet, along its way."},
                   [](auto& rules) -> auto& { return rules.safety.neighbor_aim_m; }),
        number_row({"aim.neighbor_flow", Measure::flow, "30 gpm", "1 gpm", "10000 gpm",
                    practice + ": what one downspout of 760 ft2 sends in a rain of 4 in/h",
                    "Flow for which aim.neighbor_distance is enough; more water is to run as many times as far."},
                   [](auto& rules) -> auto& { return rules.safety.neighbor_aim_flow_m3ps; }),
        number_row({"aim.steep_ground", Measure::share, "10 %", "1 %", "100 %",
                    practice + ": steeper, water cuts rills instead of spreading",
                    "Fall of the ground up to which aim.neighbor_distance is enough; on steeper ground as many times."},
                   [](auto& rules) -> auto& { return rules.safety.steep_ground_ratio; }),
        number_row({"aim.building_distance", Measure::length, "5 ft", "0 ft", "100 ft",
                    "IRC R801.3, quoted on a building-science page: 5 ft or piped",
                    "Water let out that comes nearer to a building, ours or a neighbor's, is a warning."},
                   [](auto& rules) -> auto& { return rules.safety.building_aim_m; }),
        word_row({"aim.sidewalks", Measure::word, "sidewalk public_sidewalk", "", "",
                  "Moses Lake WA, Redwood City CA, Norton OH, Grafton IL: never over a public sidewalk",
                  "Kinds of surface over which no water may be let out, separated by spaces."},
                 [](auto& rules) -> auto& { return rules.safety.walks; }),
        number_row({"yard.house_fall", Measure::length, "6 in", "0 in", "5 ft",
                    "IRC R401.3, quoted on an inspectors' forum: 6 in in the first 10 ft",
                    "Fall of the ground away from the house, over yard.house_reach."},
                   [](auto& rules) -> auto& { return rules.safety.house_fall_m; }),
        number_row({"yard.house_reach", Measure::length, "10 ft", "1 ft", "100 ft",
                    "IRC R401.3, quoted on an inspectors' forum", "The strip beside the house that is to fall away."},
                   [](auto& rules) -> auto& { return rules.safety.house_reach_m; }),
        number_row({"yard.max_spread", Measure::length, "2 in", "0 in", "3 ft", practice + " (more smothers lawn)",
                    "Surplus soil that is spread on spread_areas, settled, at most."},
                   [](auto& rules) -> auto& { return rules.safety.max_spread_m; }),
    };
}

} // namespace

std::vector<SettingRow> safety_settings()
{
    std::vector<SettingRow> rows{number_row(
        {"wedge.side_per_depth", Measure::number, "1", "0.25", "10", "UPC 314.1, on a plumber's page: 1 (45 deg)",
         "Side distance a trench keeps from a footing for each depth below its bottom; more in sand."},
        [](auto& rules) -> auto& { return rules.safety.wedge_ratio; })};
    for (const auto& more :
         {setback_settings(), tree_settings(), protection_settings(), spoil_settings(), yard_settings()}) {
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

} // namespace trenchwright
