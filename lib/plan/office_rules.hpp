#pragma once

namespace trenchwright {

/// Marks, tickets and the locate request. Every value is a setting.
struct OfficeRules {
    int ticket_life_days = 0;         ///< calendar days from the legal start, or from when a mark was made
    double request_extra_width_m = 0; ///< white lines reach this far beyond the trench, on each side and at its end
    friend bool operator==(const OfficeRules&, const OfficeRules&) = default;
};

} // namespace trenchwright
