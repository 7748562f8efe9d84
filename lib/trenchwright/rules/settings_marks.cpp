#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";
const std::string shared_trench = "CGA Best Practices 2-12, of supply lines sharing a trench: 12 in";

std::vector<SettingRow> tie_settings()
{
    return {
        number_row({"dig.mark_end_reach", Measure::length, "5 ft", "1 ft", "30 ft", practice,
                    "A mark that ends farther than this from any building, lot line, structure or mark that goes on "
                    "has only stopped: its straight run is planned as a probable line, and said to be not marked."},
                   [](auto& rules) -> auto& { return rules.mark_end_reach_m; }),
        number_row({"dig.mark_end_off_lot", Measure::length, "15 ft", "0 ft", "100 ft",
                    practice + ": parkway and walk; farther out mains end in the street",
                    "How far off your lot an end counts whose straight run comes onto it."},
                   [](auto& rules) -> auto& { return rules.mark_end_off_lot_m; }),
        yes_no_row({"dig.irrigation_runs_on", Measure::word, "no", "yes|no", "",
                    practice + ": irrigation ends at its heads, anywhere in a lawn",
                    "Whether a mark of reclaimed water or irrigation that stops is planned to go on, as any other."},
                   [](auto& rules) -> auto& { return rules.irrigation_runs_on; }),
        number_row(
            {"dig.tie_min_angle", Measure::angle, "45 deg", "15 deg", "90 deg",
             "trade practice, from memory: arcs cross between 45 and 135 deg",
             "Two tape ties fix a place well when their arcs cross at this angle or more, and at 180 deg less it "
             "or less; other pairs are given only where there is no such pair, and said to be weak."},
            [](auto& rules) -> auto& { return rules.ties.min_angle_rad; }),
        number_row({"dig.tape_length", Measure::length, "100 ft", "10 ft", "500 ft",
                    "trade practice, from memory: one tape", "Longest tape tie from a corner of the building."},
                   [](auto& rules) -> auto& { return rules.ties.tape_length_m; }),
        number_row({"dig.tie_corner_turn", Measure::angle, "30 deg", "5 deg", "90 deg", practice,
                    "A wall that turns by less has no corner at which a tape can be held."},
                   [](auto& rules) -> auto& { return rules.ties.corner_turn_rad; }),
    };
}

/// One row of the clearance table as it is shipped.
struct Shipped {
    Facility facility;
    std::string key;  ///< "clearance.gas"
    std::string name; ///< "a gas line"
    std::string crossing;
    std::string crossing_source;
    std::string hard;
    std::string side;
    std::string side_source;
};

std::vector<Shipped> shipped()
{
    return {
        {Facility::electric, "clearance.electric", "a power line", "12 in",
         "NESC 353 and 354, commonly 12 in, figure from memory", "crossing", "12 in", shared_trench},
        {Facility::gas, "clearance.gas", "a gas line", "12 in",
         "what cities and utilities require, on a trade page; 49 CFR 192.325(a) for transmission lines, quoted",
         "crossing", "3 ft", "what cities and utilities require, on a trade page and a builder's diary"},
        {Facility::communication, "clearance.communication", "a communication line", "12 in",
         "NESC 353 and 354, commonly 12 in, figure from memory", "none", "12 in", shared_trench},
        {Facility::water, "clearance.water", "a water line", "18 in",
         "Tolono IL code, Chicago 18-29-603.2.1: 18 in, the drain under the water pipe; a drain over it may need more",
         "none", "10 ft", "Tolono IL code, Chicago 18-29-603.2.1"},
        {Facility::sanitary_sewer, "clearance.sewer", "a sewer, sanitary or not stated", "12 in",
         practice + "; Boone NC sewer plan rules require ductile iron at a main under 2 ft", "none", "12 in", practice},
        {Facility::storm_sewer, "clearance.storm", "a storm sewer", "6 in",
         practice + "; 6 and 8 in proposed on an engineers' forum", "none", "12 in", practice},
        {Facility::reclaimed, "clearance.reclaimed", "a line for reclaimed water or irrigation", "12 in", practice,
         "none", "12 in", practice},
        {Facility::unstated, "clearance.unstated", "a line whose kind is not stated", "12 in",
         practice + "; as for gas, which it may be", "crossing", "3 ft", practice + "; as for gas, which it may be"},
    };
}

/// Which of the two gaps are hard, in one word.
SettingRow hard_row(const Shipped& row)
{
    SettingRow made;
    made.setting = {row.key + ".hard",
                    Measure::word,
                    row.hard,
                    "none|crossing|side|both",
                    "",
                    practice,
                    "Which of the two gaps is hard: an outlet whose line cannot keep it is refused. One that is not is "
                    "kept where it can be, else flagged. Where the depth is unknown no crossing is judged."};
    made.word = [facility = row.facility](const Rules& rules) -> std::string {
        const auto& asked = separation_from(facility, rules.clearances);
        if (asked.crossing_hard && asked.side_hard) {
            return "both";
        }
        return asked.crossing_hard ? "crossing" : asked.side_hard ? "side" : "none";
    };
    made.set_word = [facility = row.facility](Rules& rules, const std::string& word) {
        auto& asked = rules.clearances.by_facility[facility];
        asked.crossing_hard = word == "crossing" || word == "both";
        asked.side_hard = word == "side" || word == "both";
    };
    return made;
}

SettingRow gap_row(const Shipped& row, Setting setting, double Separation::* field)
{
    SettingRow made;
    made.setting = std::move(setting);
    made.number = [facility = row.facility, field](const Rules& rules) {
        return separation_from(facility, rules.clearances).*field;
    };
    made.set_number = [facility = row.facility, field](Rules& rules, double value) {
        rules.clearances.by_facility[facility].*field = value;
    };
    return made;
}

void add_clearances(std::vector<SettingRow>& rows, const Shipped& row)
{
    rows.push_back(gap_row(row,
                           {row.key + ".crossing", Measure::length, row.crossing, "0 in", "10 ft", row.crossing_source,
                            "Gap between the drain and " + row.name + " that it crosses, outside to outside."},
                           &Separation::crossing_m));
    rows.push_back(gap_row(row,
                           {row.key + ".side", Measure::length, row.side, "0 in", "30 ft", row.side_source,
                            "Gap between the drain and " + row.name +
                                " that it runs along, outside to outside; nearer is avoided where there is another way "
                                "(rates.parallel), else flagged with its length."},
                           &Separation::side_m));
    rows.push_back(hard_row(row));
}

} // namespace

std::vector<SettingRow> mark_settings()
{
    auto rows = tie_settings();
    for (const auto& row : shipped()) {
        add_clearances(rows, row);
    }
    rows.push_back(number_row({"clearance.structure", Measure::length, "24 in", "0 in", "10 ft",
                               practice + ": no less than the widest hand-dig tolerance most states name",
                               "Gap between a pop-up, inlet tie, cleanout or pit and the outside of any marked line."},
                              [](auto& rules) -> auto& { return rules.route.structure_gap_m; }));
    rows.push_back(number_row({"clearance.unknown_width", Measure::length, "4 in", "0 in", "3 ft",
                               practice + ": most services and laterals are no wider",
                               "Width and height taken for a facility whose record gives none, for these gaps only."},
                              [](auto& rules) -> auto& { return rules.clearances.unknown_width_m; }));
    return rows;
}

} // namespace trenchwright
