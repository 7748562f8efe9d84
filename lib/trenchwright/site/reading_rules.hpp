#pragma once

namespace trenchwright {

/// What is believed of the places and sizes in the files. The settings under `reading` are where they come from; the
/// figures here are the same, for hosts without settings.
struct ReadingRules {
    double farthest_m = 5000;             ///< from the lot; nothing farther is believed
    double around_m = 100;                ///< of the lot and what was measured on it; other layers are read so far
    double past_lot_line_m = 0.9144;      ///< of a building of ours, before it is said
    double min_roof_area_m2 = 4.64515200; ///< at one downspout
    double max_roof_area_m2 = 929.0304;
    friend bool operator==(const ReadingRules&, const ReadingRules&) = default;
};

} // namespace trenchwright
