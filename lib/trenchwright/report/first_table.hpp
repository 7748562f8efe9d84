#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// What the first table says of each outlet: in report.txt, on standard output, in the overview and in plan.json.

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
    std::string extra_fall = "-";
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
