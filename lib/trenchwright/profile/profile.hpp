#pragma once

#include "trenchwright/base/refusal.hpp"
#include "trenchwright/base/section.hpp"
#include "trenchwright/geom/shapes.hpp"

#include <functional>
#include <limits>
#include <span>
#include <variant>
#include <vector>

namespace trenchwright {

/// A value that holds along a stretch of the route.
struct SpanValue {
    Interval span;    ///< stations
    double value = 0; ///< what it is is said where it is used
    friend bool operator==(const SpanValue&, const SpanValue&) = default;
};

/// One point of the laid pipe; straight between neighbors.
struct GradePoint {
    double station_m = 0;
    double invert_elev_m = 0;
    friend bool operator==(const GradePoint&, const GradePoint&) = default;
};

/// Between which inverts the pipe stays along a stretch. Without a bound it is infinite.
struct InvertLimit {
    Interval span; ///< stations
    double lowest_elev_m = -std::numeric_limits<double>::infinity();
    double highest_elev_m = std::numeric_limits<double>::infinity();
    friend bool operator==(const InvertLimit&, const InvertLimit&) = default;
};

/// Everything a profile has to obey. Stations rise upstream from 0 at the outlet.
struct ProfileProblem {
    std::vector<GroundPoint> ground; ///< from station 0 to the source, rising, linear between
    TrenchSection section;
    std::vector<SpanValue> min_cover_m;         ///< by surface; covers the whole route, stretches may touch
    std::vector<SpanValue> wanted_cover_m = {}; ///< cover kept besides, as far as a pipe that falls by the least from
                                                ///< wanted_above_m over the lowest outlet invert allows; may be empty
    double wanted_above_m = 0;
    std::vector<SpanValue> dig_cost_per_m3; ///< by method (machine or hand); covers the whole route
    std::vector<double> bend_stations_m;    ///< fittings: free grade breaks
    std::vector<GradePoint> ceilings; ///< at some bend stations the invert lies no higher than this: what joins there
    std::vector<InvertLimit> limits;  ///< where the pipe passes over or under something
    double lowest_outlet_invert_elev_m = 0;
    double highest_outlet_invert_elev_m = 0;
    double highest_source_invert_elev_m = 0;       ///< cover at the source is obeyed besides
    double min_fall_ratio = 0;                     ///< > 0, everywhere
    double deepest_cut_m = 0;                      ///< ground to trench bottom, everywhere
    double stick_length_m = 0;                     ///< joints at this spacing, counted from the lower end of each run
    double min_joint_saving = 0;                   ///< money a grade break at a joint must save to be used
    double invert_step_m = 0.001;                  ///< inverts are laid in steps of this above the least-fall line
    std::function<double(double)> turn_price = {}; ///< money for a change of grade, by its angle in radians; not set:
                                                   ///< free
};

/// The laid profile.
struct Profile {
    std::vector<GradePoint> points; ///< rising station; first at 0, last at the source; only true breaks between
    double dig_cost = 0;            ///< integral of width x cut x dig_cost_per_m3
    double min_spare_m = 0;         ///< spare fall: smallest room between the least-fall line from the outlet's lowest
                                    ///< invert and the highest invert that cover and the source allow, at any station
                                    ///< (the outlet's own highest invert does not count: it takes no fall away)
    double min_spare_station_m = 0;
    friend bool operator==(const Profile&, const Profile&) = default;
};

/// Lays straight grades with the least excavation.
///
/// Grades break at bends for free and at pipe joints only where a break saves more than
/// `min_joint_saving`. Exact over inverts in steps of `invert_step_m` measured from the least-fall line through
/// the outlet's lowest invert, by dynamic programming over (break, invert), so a line that only just
/// drains is never lost to rounding. Breaks worth less than one step are then left out where the limits allow. Where a
/// change of grade has a price the heights are bettered with it, without a proof (turns.hpp).
/// Joints are counted along the plan: the slope adds under a millimeter to a stick at the usual falls.
/// @return the profile, or a refusal, its text left empty (the caller words it in the job's units):
///         falls_short when already the least-fall line from the outlet's lowest invert breaks cover or lies above
///         the source's highest invert, with the worst station and the fall that is missing there;
///         too_deep when only the cut limit prevents, with the worst station and the excess depth there
/// @throws Error (internal) when the problem contradicts itself (no ground, stations out of order, NaN)
/// @throws Error (input) for more than 2000 joints, or more than 100 000 invert steps between the limits at one
///         break: never coarsened in silence
/// Checked against a linear programme and brute force in tests/profile_test.cpp.
std::variant<Profile, Refusal> lay_profile(const ProfileProblem& problem);

/// A pressure line: as near under the least cover as straight grades lie, whatever the fall, each change of grade at
/// the price of one at a joint, and at its lower end between the inverts that the problem allows; where those leave no
/// room, at the lowest.
Profile lay_at_cover(const ProfileProblem& problem);

/// Invert at any station of the profile, by straight lines between its points; clamped at the ends.
double invert_at_m(std::span<const GradePoint> points, double station_m);
/// Ground at any station, likewise.
double ground_at_m(std::span<const GroundPoint> ground, double station_m);

/// Money for the dig along given straight grades: exact integral (both lines are straight between breaks).
double dig_cost(const ProfileProblem& problem, std::span<const GradePoint> points);

/// All stations at which ground, grade, cover or cost may change, sorted, none nearer to the next than a millionth of
/// a millimeter, from 0 to the source: between two of them everything is linear or constant.
std::vector<double> break_stations_m(const ProfileProblem& problem, std::span<const GradePoint> points);

} // namespace trenchwright
