#pragma once

#include "trenchwright/geom/over.hpp"
#include "trenchwright/profile/profile.hpp"

#include <functional>
#include <vector>

namespace trenchwright {

/// Where the cut is this deep or deeper. Exact: the cut runs straight between breaks.
std::vector<ExceedingSpan> cut_from(const ProfileProblem& problem, const Profile& profile, double limit_m);

/// In-place volume of what side slopes add to a vertical-sided trench: side_slope x cut squared along the stretch, both
/// sides together. By the prismoid, which is exact here; end areas give too much by
/// side_slope x length x (difference of the cuts) squared / 6. The ground across the line counts as level.
/// @param side_slope_ratio  across per up, each side
/// Source: docs/sources.md, E1 to E4, E9, E10.
double side_slope_volume_m3(const ProfileProblem& problem, const Profile& profile, Interval span,
                            double side_slope_ratio);

/// Supported face of a stretch, both sides: twice the integral of the cut.
double face_area_m2(const ProfileProblem& problem, const Profile& profile, Interval span);

/// A trench's cut between two breaks, straight from one to the other.
struct CutRun {
    Interval span = {};
    double from_cut_m = 0;
    double to_cut_m = 0;
    bool sloped = false; ///< the sides are; left false by cut_runs
    [[nodiscard]] double at_m(double station_m) const
    {
        const double length_m = span.to_m - span.from_m;
        return length_m > 0 ? from_cut_m + (to_cut_m - from_cut_m) * (station_m - span.from_m) / length_m : from_cut_m;
    }
};

/// The whole trench cut at every break, where the cut comes to nothing, and at the extra stations.
std::vector<CutRun> cut_runs(const ProfileProblem& problem, const Profile& profile,
                             const std::vector<double>& extra_stations_m);

} // namespace trenchwright
