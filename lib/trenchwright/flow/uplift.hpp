#pragma once

#include <optional>
#include <span>

namespace trenchwright {

/// Whether ground water floats a pit (or tank) out of the ground. Everything as mass: gravity cancels.

/// Something that holds the pit down, lying in the water itself: concrete on a flange, soil over it.
struct Ballast {
    double volume_m3 = 0;
    double density_kg_per_m3 = 0; ///< as it weighs in air; in water it holds with what it weighs more than water
    friend bool operator==(const Ballast&, const Ballast&) = default;
};

struct BuriedPit {
    double outside_m3 = 0; ///< all that lies below the highest water, by outside sizes
    double weight_kg = 0;  ///< of everything inside that outside, and dry weight above the water; 0 where not known
    bool perforated = false;
    std::optional<double> wall_m3 =
        std::nullopt; ///< of the pit's own material below the water; asked of a perforated pit only
    friend bool operator==(const BuriedPit&, const BuriedPit&) = default;
};

struct UpliftRules {
    double min_safety_factor = 1; ///< 1 or more
    double water_kg_per_m3 = 0;
    double concrete_kg_per_m3 = 0; ///< of the concrete that would hold it; heavier than water
    friend bool operator==(const UpliftRules&, const UpliftRules&) = default;
};

struct Uplift {
    double displaced_kg = 0; ///< water displaced
    double holding_kg = 0;   ///< weight, and ballast by what it weighs in water
    double net_kg = 0;       ///< displaced x least safety - holding; above 0 it floats or has too little in hand
    std::optional<double> safety_factor; ///< holding / displaced; nothing when nothing is displaced
    double concrete_m3 = 0;              ///< more concrete, under water, that brings net_kg to 0
    bool holds = true;                   ///< net_kg is not above 0
    bool walls_unknown = false;          ///< perforated and without wall_m3: taken to displace nothing
    friend bool operator==(const Uplift&, const Uplift&) = default;
};

/// The pit empty and the ground water at its highest. In a perforated pit water rises inside too and only its walls
/// displace any; as long as its holes are open.
/// @throws Error (input) for a volume, weight or density out of range, or walls larger than the pit
///
/// Source: FEMA P-259, Engineering Principles and Practices for Retrofitting Flood-Prone Residential Structures,
/// ex. C7: docs/sources.md, B1, B2.
Uplift uplift(const BuriedPit& pit, std::span<const Ballast> ballast, const UpliftRules& rules);

} // namespace trenchwright
