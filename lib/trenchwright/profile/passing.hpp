#pragma once

#include "trenchwright/profile/profile.hpp"

#include <cstddef>
#include <span>
#include <variant>
#include <vector>

/// Lays a pipe over or under facilities whose depth is known.
namespace trenchwright {

/// A facility in the way of the pipe, its height measured where it was exposed.
struct KnownLine {
    std::size_t mark = 0; ///< whose it is, as the caller numbers them
    double station_m = 0; ///< of the crossing
    Interval span;        ///< stations at which pipe and facility lie one above the other; may reach past the route
    double top_elev_m = 0;
    double bottom_elev_m = 0;
    double gap_m = 0;  ///< asked between the two, outside to outside, >= 0
    bool hard = false; ///< refused without it; else it is kept where that can be done
    friend bool operator==(const KnownLine&, const KnownLine&) = default;
};

/// Lowest and highest outside of a laid pipe along a stretch.
struct PipeBand {
    double bottom_elev_m = 0;
    double top_elev_m = 0;
    friend bool operator==(const PipeBand&, const PipeBand&) = default;
};
/// @param span  what of it lies past the pipe's ends counts as its end
PipeBand pipe_band(const TrenchSection& section, std::span<const GradePoint> pipe, const Interval& span);

/// How a laid pipe passes a facility.
struct Passing {
    bool over = true;
    double gap_m = 0; ///< least of the stretch, straight up; below 0 they would meet
    friend bool operator==(const Passing&, const Passing&) = default;
};

/// The way that leaves more room. A pipe that meets the facility is over it where that takes less to put right.
Passing passing(const TrenchSection& section, std::span<const GradePoint> pipe, const KnownLine& known);

/// Less than this is rounding: a thousandth of a millimeter.
inline constexpr double gap_rounding_m = 1e-6;

/// A profile that keeps the gaps, and the limits that made it do so.
struct LaidPast {
    Profile profile;
    std::vector<InvertLimit> limits; ///< the problem's own and one for each facility that had to be passed
};

/// A facility with a hard gap that can be passed neither over nor under.
struct NoWayPast {
    std::size_t known = 0;   ///< index into the facilities given
    double over_short_m = 0; ///< by which the room over it falls short
    double under_short_m = 0;
};

/// As lay_profile, with the gaps kept: the cheapest of all ways to pass each facility over or under. A soft gap that
/// no way keeps is given up, after all hard ones.
/// @return the profile; or a refusal of lay_profile, which no choice can help; or the facility that bars the way
/// @throws Error as lay_profile; Error (internal) for a facility whose figures contradict each other, NaN included
/// Each facility is decided only where the pipe laid so far comes too near to it, so few facilities take few layings.
std::variant<LaidPast, NoWayPast, Refusal> lay_past(const ProfileProblem& problem, std::span<const KnownLine> known);

} // namespace trenchwright
