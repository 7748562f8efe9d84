#pragma once

#include "plan/plan.hpp"

#include <optional>
#include <string>

namespace trenchwright {

/// What the first table says of each outlet: in report.txt, on standard output, in the overview and in plan.json.

/// Whether the pipe planned carries the water that comes.
enum class PipeLoadState {
    carries,
    too_small, ///< somewhere more comes than it carries at the greatest depth allowed
    not_known, ///< no reach is too small, but the flow of some is not known
    pumped     ///< the whole line is under pressure
};

/// The reach of an outlet's drain that is loaded most.
struct PipeLoad {
    PipeLoadState state = PipeLoadState::not_known;
    std::optional<double> flow_m3ps = {};     ///< nothing where no flow is known
    std::optional<double> capacity_m3ps = {}; ///< of the pipe planned, at that reach's fall and the greatest depth
};
PipeLoad pipe_load(const OutletOutcome& outcome);

/// The cells of one outlet in print units; "-" where it is refused.
struct OutletCells {
    std::string number = {};
    std::string name = {};
    std::string kind = {};
    std::string result = {};
    std::string permission = {}; ///< "yes" where all kinds of water agree, else "roof yes, sump ask"
    std::string chance = "-";    ///< that it drains: "38 %", "not known", "pumped"
    std::string pipe = "-";      ///< "carries its flow", "too small: carries 52.7 of 95.4 gpm", "flow not known"
    std::string price = "-";     ///< without the currency
    std::string length = "-";
    std::string deepest_cut = "-";
    std::string spare_fall = "-";
    std::string hand_dig = "-";
    std::string crossings = "-";
    std::string by_hand = "-"; ///< both: "39.4 ft / 3"
    std::string dirt = "-";
};

/// @param index  into JobPlan::outcomes
OutletCells outlet_cells(const JobPlan& plan, std::size_t index);

/// The whole table, best first: two lines an outlet, none wider than page_width.
std::string first_table(const JobPlan& plan);

} // namespace trenchwright
