#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// A place where fall may run short: what is left there of it, and how its ground may be off.
struct FallPlace {
    Point at;
    double station_m = 0;
    std::size_t source = 0;           ///< whose trench, an index into Site::sources
    double spare_m = 0;               ///< highest invert that is allowed less the least-fall line
    bool fixed = false;               ///< by a limit that no ground moves, such as a wall core
    std::optional<std::size_t> end{}; ///< place whose ground carries the outlet: as it rises, fall is lost here
};

struct FallUncertaintyRules {
    int draws = 0;
    int seed = 0;
    friend bool operator==(const FallUncertaintyRules&, const FallUncertaintyRules&) = default;
};

/// The place whose shot would take away most of the doubt.
struct NextShot {
    std::size_t place = 0;              ///< index into the places
    double uncertainty_after_share = 0; ///< mean of p (1 - p) once the height there is known
};

/// How far the ground's error leaves it open whether an outlet drains.
struct FallUncertainty {
    double spare_m = 0;             ///< as the ground is planned, at the place that is likeliest to run short
    double error_m = 0;             ///< root mean square of what moves it there
    double drains_share = 0;        ///< of the draws: probability that the outlet drains at least fall and least cover
    double uncertainty_share = 0;   ///< p (1 - p): 0 when it is certain, 0.25 when nobody can say
    std::size_t place = 0;          ///< that place: the least room for its error; index into the places
    std::optional<NextShot> next{}; ///< nothing where no shot takes doubt away
};

/// Draws the ground's errors together, seeded, and counts in how many draws fall suffices everywhere.
/// @param covariance_m2  of the errors at the places, row by row
/// @throws Error (internal) for a covariance of another size, or figures that are not finite
FallUncertainty fall_uncertainty(std::span<const FallPlace> places, std::span<const double> covariance_m2,
                                 const FallUncertaintyRules& rules);

} // namespace trenchwright
