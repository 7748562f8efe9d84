#pragma once

#include <string>

namespace trenchwright {

/// Side slopes and shoring beyond the depth at which vertical sides end.
struct ProtectionRules {
    std::string soil = {};    ///< "rock", "A", "B", "C" or "unknown", which counts as C
    double slope_a_ratio = 0; ///< across per up
    double slope_b_ratio = 0;
    double slope_c_ratio = 0;
    bool shore = false;      ///< shoring in place of side slopes
    double shore_per_m2 = 0; ///< money per area of supported face
    double engineer_cut_m = 0;
    double guard_cut_m = 0;
    double egress_reach_m = 0; ///< along the trench to a way out, at most
    friend bool operator==(const ProtectionRules&, const ProtectionRules&) = default;
};

struct TreeRules {
    bool bore = false; ///< under the roots, in place of hand digging
    double bore_per_m = 0;
    double bore_cover_m = 0;   ///< ground to top of pipe under roots
    double hold_factor = 0;    ///< nearer than this times the trunk diameter the tree may lose its hold
    double largest_root_m = 0; ///< thicker ones are not cut without an arborist
    friend bool operator==(const TreeRules&, const TreeRules&) = default;
};

/// What keeps people, footings and trees unharmed, and where water and dirt may go. Every value is a setting.
struct SafetyRules {
    double wedge_ratio = 1; ///< side distance asked per depth below the footing's bottom
    ProtectionRules protection = {};
    double spoil_setback_m = 0; ///< trench edge to the foot of the heap
    double repose_rad = 0;      ///< of heaped spoil
    std::string spoil_off = {}; ///< kinds of surface on which no spoil may lie, parted by blanks
    std::string walks = {};     ///< kinds of surface over which no water may be let out, parted by blanks
    TreeRules trees = {};
    double neighbor_aim_m = 0;         ///< water let out nearer than this to a neighbor must not run toward him
    double neighbor_aim_flow_m3ps = 0; ///< for which that distance is enough; more water needs as many times it
    double steep_ground_ratio = 0;     ///< likewise
    double building_aim_m = 0;         ///< the water's way to any building
    double house_fall_m = 0;           ///< of the ground away from the house, over house_reach_m
    double house_reach_m = 0;
    double max_spread_m = 0; ///< of dirt on a spread area
    friend bool operator==(const SafetyRules&, const SafetyRules&) = default;
};

} // namespace trenchwright
