#pragma once

#include "trenchwright/base/units.hpp"
#include "trenchwright/ground/fall_uncertainty.hpp"

#include <optional>
#include <string>

namespace trenchwright {

struct PlanBasis;
class SurfaceUncertainty;
struct OutletOutcome;

/// How sure it is that an outlet drains, and where one more shot would tell most.
struct OutletUncertainty {
    FallUncertainty fall;
    FallPlace place{};                     ///< of fall.place
    std::optional<FallPlace> next_place{}; ///< of fall.next
};

/// The outcome with its doubt, where it works by gravity, where the ground is spots of which some can be left out and
/// those beside its trenches bear out the roughness of the lot; else says why not. A chance below levels.least_chance
/// is a finding of the trench that decides it.
/// @param surface  how far the ground may be off; nothing: it cannot tell
OutletOutcome with_uncertainty(OutletOutcome outcome, const PlanBasis& basis,
                               const std::optional<SurfaceUncertainty>& surface);

/// Where an outlet is likeliest to run short, with the room and the error there, in words.
std::string tight_text(const PlanBasis& plan, const OutletUncertainty& uncertainty);

/// Of the ground: "1.3 in", "less than 0.1 in"; 0 only where it is 0.
std::string error_text(double error_m, UnitSystem units);

/// "93 %", "over 99 %", "under 1 %": never certain.
std::string probability_text(double share);

} // namespace trenchwright
