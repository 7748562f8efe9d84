#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/profile/profile.hpp"
#include "trenchwright/route/route.hpp"

#include <string>
#include <vector>

/// What a kind of ground cover asks of the pipe beneath: the cover wanted, for some kinds a lower one that is taken
/// where nothing else drains, and the class of pipe.
namespace trenchwright {

/// A stretch under less than the cover wanted there.
struct ShallowStretch {
    Interval span;
    std::string kind;         ///< of ground cover
    double wanted_m = 0;      ///< cover
    double min_cover_m = 0;   ///< the least of the stretch
    double min_station_m = 0; ///< and where
    friend bool operator==(const ShallowStretch&, const ShallowStretch&) = default;
};

/// The rules with every kind's lowest cover in place of the one wanted.
RouteRules with_lowest_cover(RouteRules rules);

/// The most that a lowest cover is below the one wanted, of the kinds that may be entered; 0 where there is none.
double lowest_cover_saves_m(const RouteRules& rules);

/// Where a laid pipe has less cover than the rules want, near the outlet less than they ease it to. Exact: both lines
/// are straight between breaks.
/// @param surfaces  of the line
std::vector<ShallowStretch> shallow_stretches(const SurfaceSpans& surfaces, const Polyline& line, const Outlet& outlet,
                                              const ProfileProblem& problem, const Profile& profile,
                                              const RouteRules& wanted);

/// A stretch under a kind of ground cover that asks for a class of pipe.
struct ClassedStretch {
    Interval span;
    std::string kind;
    std::string pipe_class; ///< in words
    friend bool operator==(const ClassedStretch&, const ClassedStretch&) = default;
};
std::vector<ClassedStretch> classed_stretches(const SurfaceSpans& surfaces, const RouteRules& rules);

} // namespace trenchwright
