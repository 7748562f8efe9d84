#pragma once

#include <string>
#include <string_view>

namespace trenchwright {

// Groups of the list that are compared whatever they hold.
inline constexpr std::string_view marks_group = "marks";
inline constexpr std::string_view lot_group = "lot";

/// One thing that was asked for: whether the job has it, and what follows where it has not.
struct SuppliedItem {
    std::string group; ///< "marks", "private lines", "ticket", "levels", ...
    std::string item;  ///< "gas"
    bool supplied = false;
    std::string state;  ///< "2 marks", "no marks supplied", "none, says the owner (name, date)"
    std::string effect; ///< what the gap does to the plan; empty when there is none
    friend bool operator==(const SuppliedItem&, const SuppliedItem&) = default;
};

} // namespace trenchwright
