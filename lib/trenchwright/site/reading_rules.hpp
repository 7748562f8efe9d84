#pragma once

namespace trenchwright {

/// From where on the checks of a job's data name a thing. The settings under `check` are where they come from.
struct CheckRules {
    double spot_off_m = 0.9144;        ///< of a shot from the plane of those around it, at least
    double spot_off_factor = 8;        ///< times what half of the shots are off
    double zero_height_m = 5;          ///< other heights lie farther from 0 than this where 0 stands for unknown
    double unit_ratio = 0.02;          ///< how near to feet in a meter two heights stand to each other
    double curb_off_m = 0.3048;        ///< of an outlet's record from the ground beside it
    double source_off_wall_m = 0.6096; ///< from the nearest wall of our house
    double same_place_m = 0.01;        ///< corners of two lines that are one
    friend bool operator==(const CheckRules&, const CheckRules&) = default;
};

/// What is believed of the places and sizes in the files. The settings under `reading` are where they come from; the
/// figures here are the same, for hosts without settings.
struct ReadingRules {
    double farthest_m = 5000;             ///< from the lot; nothing farther is believed
    double around_m = 100;                ///< of the lot and what was measured on it; other layers are read so far
    double past_lot_line_m = 0.9144;      ///< of a building of ours, before it is said
    double min_roof_area_m2 = 4.64515200; ///< at one downspout
    double max_roof_area_m2 = 929.0304;
    CheckRules checks;
    friend bool operator==(const ReadingRules&, const ReadingRules&) = default;
};

} // namespace trenchwright
