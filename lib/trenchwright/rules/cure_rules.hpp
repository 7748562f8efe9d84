#pragma once

namespace trenchwright {

/// How far one change may go that would let a refused outlet work (see plan/cures.hpp). Every value is a setting.
struct CureRules {
    bool look = true;             ///< whether any is looked for
    double min_cover_m = 0;       ///< where no vehicles go
    double min_drive_cover_m = 0; ///< where vehicles go
    double min_fall_ratio = 0;
    double min_slab_gap_m = 0;
    double max_cut_m = 0;
    double max_move_m = 0;  ///< of an outlet that is a point
    double max_raise_m = 0; ///< of the ground, of an opening at the wall
    friend bool operator==(const CureRules&, const CureRules&) = default;
};

} // namespace trenchwright
