#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

struct JobPlan;
struct OutletOutcome;

/// A thing that reviewers look for on a drawing.
struct ChecklistItem {
    std::string_view key;   ///< as in the settings: "checklist.benchmark"
    std::string_view words; ///< "benchmark and datum"
    int lists = 0;          ///< of 25 public permit checklists read in excerpts, this many asked for it
};

/// All of them, the ones asked for most often first.
/// Source: counted in 25 public bodies' checklists; counts are lower bounds.
std::span<const ChecklistItem> checklist_items();

/// How one item of the checklist stands.
struct ChecklistLine {
    const ChecklistItem* item = nullptr;
    bool asked = true;  ///< by the settings
    bool filled = true; ///< on the sheets, or said to be elsewhere
    std::string text;   ///< what fills it, or what is missing
};

/// Every item against what the sheets of one outlet hold.
/// @param outcome  nothing: no outlet is drawn
std::vector<ChecklistLine> checklist(const JobPlan& plan, const OutletOutcome* outcome);

/// "benchmark and datum", ...: what is asked for and not there.
std::vector<std::string> lacking(const std::vector<ChecklistLine>& lines);

} // namespace trenchwright
