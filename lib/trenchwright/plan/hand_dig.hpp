#pragma once

#include "trenchwright/plan/plan.hpp"

namespace trenchwright {

/// Hand digging and crossings of a trench, as far as the marks and trees supplied tell.
///
/// With no mark of any kind nothing is known of the lines in the ground: hand digging is at least what the trees ask
/// for, machine digging at most the rest, and the number of crossings is unknown. Zero is never put in their place.
struct HandDig {
    bool known = false; ///< some mark is supplied
    double length_m = 0;
    double volume_m3 = 0; ///< in place
    double machine_length_m = 0;
    double machine_volume_m3 = 0; ///< in place
    std::size_t crossings = 0;
    friend bool operator==(const HandDig&, const HandDig&) = default;
};

HandDig hand_dig(const Site& site, const TrenchPlan& trench);
/// All trenches of an outlet together.
HandDig hand_dig(const Site& site, const OutletOutcome& outcome);

// As every paper prints them: the figure; "unknown" or "at least ..." by hand, "at most ..." by machine, where no mark
// is supplied.
std::string hand_length_text(const HandDig& dig, UnitSystem units);
std::string hand_volume_text(const HandDig& dig, UnitSystem units);
std::string machine_length_text(const HandDig& dig, UnitSystem units);
std::string machine_volume_text(const HandDig& dig, UnitSystem units);
std::string crossings_text(const HandDig& dig);

/// How a station outside every zone known is dug, in one word, and what stands beside that word.
inline constexpr std::string_view machine_note = "no mark supplied here; unmarked lines may be there";
std::string dig_text(bool by_hand, std::string_view hand_word);

} // namespace trenchwright
