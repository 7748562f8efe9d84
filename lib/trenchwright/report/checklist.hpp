#pragma once

#include "trenchwright/rules/checklist_items.hpp"

#include <string>
#include <vector>

namespace trenchwright {

struct JobPlan;
struct OutletOutcome;
class DrawnThings;

/// How one item of the checklist stands.
struct ChecklistLine {
    const ChecklistItem* item = nullptr;
    bool asked = true;  ///< by the settings
    bool filled = true; ///< on the sheets, or said to be elsewhere
    std::string text;   ///< what fills it; "known, not on the sheets: ..."; empty where nothing is known of it
};

/// Every item against what has really been drawn on the sheets of one outlet. Of things of which the site has many
/// (trees, surfaces, marks), those that touch our lot must all be drawn; of what lies beyond it some must be.
/// @param outcome  nothing: no outlet is drawn
std::vector<ChecklistLine> checklist(const JobPlan& plan, const OutletOutcome* outcome, const DrawnThings& shown);

/// "benchmark and datum", "easements (known, not on the sheets: 1 easement)", ...: what is asked for and not there.
std::vector<std::string> lacking(const std::vector<ChecklistLine>& lines);

} // namespace trenchwright
