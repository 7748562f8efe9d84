#pragma once

#include <span>
#include <string_view>

namespace trenchwright {

/// A thing that reviewers look for on a drawing.
struct ChecklistItem {
    std::string_view key;   ///< as in the settings: "checklist.benchmark"
    std::string_view words; ///< "benchmark and datum"
    int lists = 0;          ///< of 25 public permit checklists read in excerpts, this many asked for it
};

/// All of them, the ones asked for most often first.
/// Source: counted in 25 public bodies' checklists; counts are lower bounds.
std::span<const ChecklistItem> checklist_items();

} // namespace trenchwright
