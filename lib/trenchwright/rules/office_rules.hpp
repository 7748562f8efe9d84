#pragma once

#include <optional>

namespace trenchwright {

/// Marks, tickets and the locate request. Every value is a setting.
struct OfficeRules {
    std::optional<int> ticket_life_days; ///< calendar days from the legal start, or from when a mark was made; unset:
                                         ///< nobody stated it
    double request_extra_width_m = 0;    ///< white lines reach this far beyond the trench, on each side and at its end
    friend bool operator==(const OfficeRules&, const OfficeRules&) = default;
};

} // namespace trenchwright
