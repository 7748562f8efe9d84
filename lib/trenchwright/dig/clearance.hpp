#pragma once

#include "trenchwright/geom/along.hpp"
#include "trenchwright/profile/passing.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/site/site.hpp"

#include <map>
#include <vector>

/// What must lie between the drain and what is already in the ground.
namespace trenchwright {

/// Between the drain and one kind of facility, outside to outside.
struct Separation {
    double crossing_m = 0; ///< up or down, where they cross
    bool crossing_hard = false;
    double side_m = 0; ///< sideways, where they run along each other
    bool side_hard = false;
    friend bool operator==(const Separation&, const Separation&) = default;
};

struct ClearanceRules {
    std::map<Facility, Separation> by_facility; ///< by leading_facility
    double unknown_width_m = 0;                 ///< width and height of a facility whose record gives none
    friend bool operator==(const ClearanceRules&, const ClearanceRules&) = default;
};

/// The facility whose row of the table holds for it: green paint that does not say which stands with sanitary sewers.
Facility leading_facility(Facility facility);
/// @throws Error (internal) for a facility without a row
const Separation& separation_from(Facility facility, const ClearanceRules& rules);

/// True where the depth was measured by exposing the line. A depth of lesser quality is no depth to lay a pipe by.
bool depth_known(const Mark& mark);

/// Where a trench meets one mark, and over which stations pipe and facility lie one above the other:
/// width / sin(angle) + outside diameter / tan(angle) long, a straight line assumed.
/// @param top_elev_m  of the facility there; its height is its width
KnownLine facility_at(const Site& site, std::size_t mark, const LineCrossing& met, double top_elev_m,
                      const TrenchSection& section, const ClearanceRules& rules);

/// Every crossing with a mark whose depth is known; the depth counts from the ground at the crossing.
std::vector<KnownLine> known_lines(const Site& site, const Polyline& line, const std::vector<GroundPoint>& ground,
                                   const TrenchSection& section, const ClearanceRules& rules);

/// A stretch that runs along one mark.
struct ParallelRun {
    std::size_t mark = 0;  ///< index into Site::marks
    Interval span;         ///< stations
    double gap_m = 0;      ///< pipe to facility at the nearest, outside to outside; below 0 they overlap in plan
    bool in_zone = false;  ///< some of it lies inside the mark's hand-dig zone
    bool too_near = false; ///< some of it is nearer than the side gap; the mark's accuracy is taken off
    friend bool operator==(const ParallelRun&, const ParallelRun&) = default;
};

/// Stretches along each mark inside its hand-dig zone or nearer to it than the side gap, by mark and station, whatever
/// their heading: all that is no genuine crossing, see stretches_along.
std::vector<ParallelRun> parallel_runs(const Site& site, const Polyline& line, const RouteRules& route,
                                       const ClearanceRules& rules);

} // namespace trenchwright
