#pragma once

#include "trenchwright/dig/tape_ties.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// A line that the shovel may meet at a station.
struct Expected {
    std::size_t mark = 0;                      ///< index into Site::marks
    bool crosses = false;                      ///< here; else its hand-dig zone reaches here
    std::optional<double> facility_top_elev_m; ///< only where exposed
    friend bool operator==(const Expected&, const Expected&) = default;
};

/// One line of the crew's level sheet.
struct CutRow {
    double station_m = 0;
    Point at;
    double ground_elev_m = 0;
    double invert_elev_m = 0;
    double bottom_elev_m = 0; ///< of the trench
    double cut_m = 0;         ///< ground to trench bottom
    double cover_m = 0;
    std::optional<double> fall_to_next_ratio; ///< of the pipe up to the next row; nothing in the last
    bool by_hand = false;
    std::vector<Expected> expected;
    std::vector<std::size_t> trees; ///< whose circle the trench is in
    std::string fitting;            ///< in words; empty: straight pipe
    std::string alert;              ///< STOP, ladder, protection that hold here, as alert_words; empty: none
    TapeTies ties;
    std::optional<double> rod_bottom_m; ///< reading of a rod on the trench bottom, at the job's height of instrument;
                                        ///< negative: above the line of sight
    std::optional<double> rod_invert_m; ///< of a rod on the invert
    std::optional<double> hub_top_elev_m;
};

/// The level sheet of one trench, from its lower end up.
struct CutSheet {
    const TrenchPlan* trench = nullptr;
    std::size_t number = 0; ///< as on the sheets, from 1
    std::vector<CutRow> rows;
};

/// One sheet for each trench of an outlet, in the order in which they are dug: those that run to the outlet first, a
/// branch after what it joins. Rows at every station of the depth table, at fittings, junctions and hubs,
/// and where a STOP, a ladder or protection begins or ends.
/// @throws Error (input) for a hub at no trench of the outlet
std::vector<CutSheet> cut_sheets(const JobPlan& plan, const OutletOutcome& outcome);

/// "C 4.07": down from the hub's top to a height; "F 0.40": up. In feet or meters, to the hundredth.
/// Source: cut sheets and guard stakes of the US Navy's Engineering Aid course, figure 10-24.
std::string hub_text(double hub_top_elev_m, double elev_m, UnitSystem units);

/// "gas GAS-1 (yellow G) crosses, depth unknown"; one for each line and tree, joined by "; ". Empty: none is marked.
std::string expected_text(const Site& site, const CutRow& row, UnitSystem units);

/// "12.34 %"; "riser" where the pipe is steeper than any grade.
std::string percent_or_riser(double fall_ratio, const SteepRules& rules);
/// The same of a row up to the next; empty in the last.
std::string fall_to_next_text(const CutRow& row, const SteepRules& rules);

/// A tie with its corner: A 31'-4" or A 9.56 m; empty where there is none.
std::string tape_text(const TapeTies& ties, std::size_t nth, UnitSystem units);

} // namespace trenchwright
