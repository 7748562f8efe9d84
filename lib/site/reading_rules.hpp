#pragma once

namespace trenchwright {

/// What is believed of the places and sizes in the files. Common practice, no source; lots of a real city's block reach
/// 3 km, and two maps of one lot differ by less than 3 ft.
struct ReadingRules {
    double farthest_m = 5000;             ///< from the lot; nothing farther is read
    double past_lot_line_m = 0.9144;      ///< of a building of ours, before it is said
    double least_roof_area_m2 = 4.645152; ///< at one downspout: 50 ft2
    double most_roof_area_m2 = 929.0304;  ///< 10,000 ft2
};
inline constexpr ReadingRules reading_rules{};

} // namespace trenchwright
