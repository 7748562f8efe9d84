#pragma once

#include "trenchwright/base/nearest_word.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/dig/cleanouts.hpp"
#include "trenchwright/dig/clearance.hpp"
#include "trenchwright/dig/footing_drain.hpp"
#include "trenchwright/dig/pipe_grades.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/dig/tape_ties.hpp"
#include "trenchwright/estimate/materials.hpp"
#include "trenchwright/ground/fall_uncertainty.hpp"
#include "trenchwright/ground/surface_uncertainty.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/rules/cure_rules.hpp"
#include "trenchwright/rules/office_rules.hpp"
#include "trenchwright/rules/paper_rules.hpp"
#include "trenchwright/rules/safety_rules.hpp"
#include "trenchwright/rules/water_rules.hpp"
#include "trenchwright/site/reading_rules.hpp"

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// A bend the supplier may or may not have.
struct FittingChoice {
    FittingRule fitting;
    bool use = true;
    friend bool operator==(const FittingChoice&, const FittingChoice&) = default;
};

/// Every rule, rate and tolerance of a job. Plain data; defaults come from the settings table.
struct Rules {
    UnitSystem units = UnitSystem::us;
    std::string currency;                       ///< printed behind money, e.g. "USD"
    std::string width_preset;                   ///< "yard practice", "standard" or "own"
    double own_width_m = 0;                     ///< trench width of the preset "own"
    double restore_extra_width_m = 0;           ///< surface opened beyond the trench, each side
    std::vector<FittingChoice> fitting_choices; ///< 11 1/4, 22 1/2, 45 and 90 deg, in this order
    double depth_step_us_m = 0;
    double depth_step_metric_m = 0;
    ReadingRules reading;
    RouteRules route; ///< section, falls, depths, tolerance, rates, search
    SoilRules soil;
    TieRules ties;
    ClearanceRules clearances;
    double mark_end_reach_m = 0;     ///< from an end of a mark to what explains it, at most
    double mark_end_off_lot_m = 0;   ///< off our lot an end counts this far from it
    bool irrigation_runs_on = false; ///< a mark of it that stops is taken to go on, as any other
    WaterRules water;
    double inside_diameter_m = 0; ///< of the pipe; settled from the outside diameter and the wall
    std::string pipe_name;        ///< for people
    double stick_length_m = 0;
    double min_joint_saving = 0;
    double depth_step_m = 0;                  ///< station spacing of the depth table; settled by the unit system
    double max_bends_count = 0;               ///< of one trench; more are a warning
    double min_extra_fall_m = 0;              ///< below it an outlet that drains gets a warning
    double mobilization = 0;                  ///< money, once per trench crew visit
    std::map<std::string, double> item_price; ///< per SI unit, by key of the RateKind: what the search does not weigh
    double egress_and_air_test_cut_m = 0;     ///< findings by station
    double protective_system_cut_m = 0;
    FootingRules footing;          ///< stone's density is that of `materials`; settled
    std::string footing_pipe_name; ///< for people
    CleanoutRules cleanouts;
    SafetyRules safety;
    OfficeRules office;
    bool compare_variants = false;        ///< plan other pipes, widths and bored paving too
    UncertaintyRules surface_uncertainty; ///< how far the ground may be off
    FallUncertaintyRules uncertainty_draws;
    bool curb_reducer = true;        ///< a drain too large for a curb may end in a smaller pipe of water.pipes
    SteepRules steep;                ///< risers and anchors
    double edge_reach_m = 0;         ///< beyond its edge the surveyed ground is as high as there
    double curb_top_tolerance_m = 0; ///< the survey behind a curb may differ from its record's top by this
    double min_chance_share = 0;     ///< of draining; below it an outlet gets a warning
    MaterialRules materials;         ///< stick length is the pipe's; settled
    PaperRules papers;
    CureRules cures;
    friend bool operator==(const Rules&, const Rules&) = default;
};

/// What a setting measures; fixes which units its text may carry.
enum class Measure {
    length,
    fall,
    angle,
    share,
    factor, ///< a length per length that is no fall: "15", "1.25 ft/in"
    count,  ///< whole
    number, ///< plain: "0.011", "150"
    velocity,
    rain, ///< depth in a time: "4 in/h"
    flow,
    time,
    density,
    volume, ///< of water or concrete
    weight,
    area, ///< of a roof
    money,
    money_per_length,
    money_per_area,
    money_per_volume,
    word
};

/// One row of the settings table: everything a user needs to trust or change a value.
struct Setting {
    std::string key; ///< as in the job file: "drain.min_fall"
    Measure measure = Measure::length;
    std::string fallback; ///< default with its unit, as one would write it in the job file: "6 in"
    std::string lowest;   ///< range, inclusive, same form; for words: the allowed words, separated by '|'
    std::string highest;
    std::string source; ///< where the default comes from; "common practice, no source" where there is none
    std::string help;   ///< one sentence: what it does
};

/// The table, in printing order. `surfaces.<kind>.*` rows are there for the shipped kinds.
std::span<const Setting> settings();

/// Rules with every default, settled.
Rules default_rules();

/// A setting's key and its text, as a job file pairs them.
struct RuleText {
    std::string key;
    std::string text;
    std::string where; ///< put before an error, e.g. "lot.toml:12: "; may be empty
};

/// Changes one setting from text with a unit: set_rule(rules, "drain.min_fall", "1/8 in/ft").
/// A new surface kind comes into being by setting one of its rows.
/// @throws Error (input) for an unknown key (names the nearest known one), a missing or wrong unit, a value out of
///         range, or values that contradict each other; then `rules` is as before
void set_rule(Rules& rules, std::string_view key, std::string_view text);

/// Changes many settings at once; their order does not matter. What follows from others (trench width, bore,
/// fittings) is worked out after the last.
/// @throws Error (input) as set_rule; and for a new surface kind that lacks one of its three rows
void set_rules(Rules& rules, std::span<const RuleText> texts);

/// Present value of a setting as text with its unit, readable by set_rule (in the rules' unit system).
std::string rule_text(const Rules& rules, std::string_view key);

/// The whole table as text for `trenchwright rules`: key, value, default, range, source, help. At most 110 columns.
std::string rules_text(const Rules& rules);

/// A quantity with its unit in SI: parse_measure(Measure::length, "6 in") == 0.1524.
/// Fractions ("1 1/2 in"), feet-inches ("3'-2 1/16\""), ratios ("1 %", "1/8 in/ft", "0.01") are understood.
/// A length without a unit is refused. Feet are international unless they say ftUS; money per length, area or volume
/// needs its "/ft", "/m2", "/yd3". A currency (three capitals) may follow the amount.
/// @throws Error (input) naming the text
double parse_measure(Measure measure, std::string_view text);

} // namespace trenchwright
