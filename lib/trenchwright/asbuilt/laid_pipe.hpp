#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/asbuilt/as_built.hpp"

#include <vector>

/// The pipe as far as measured places tell where it lies.
namespace trenchwright {

/// Pipe through measured places, each near enough to the next to take it as straight between them.
struct LaidRun {
    Polyline line;                  ///< the measured places and, as far off the plan as these, the bends between
    std::vector<double> stations_m; ///< of the line's points, along the plan
    std::vector<bool> placed;       ///< for each piece of the line: both its measured ends have a place
    std::vector<GradePoint> pipe;   ///< the measured inverts; their stations count along this line

    [[nodiscard]] Interval span() const { return {stations_m.front(), stations_m.back()}; }
    /// The plan's station at a length along the line.
    [[nodiscard]] double station_at_m(double along_m) const;
};

/// By rising station; a place with no other near enough is in none. Where an end of a piece has no place, that end is
/// taken on the planned line.
/// @param spacing_m  places farther apart than this leave the pipe between them not measured
std::vector<LaidRun> laid_runs(const MeasuredTrench& measured, double spacing_m);

/// Stretches of the trench in none of the runs.
std::vector<Interval> not_measured(const MeasuredTrench& measured, const std::vector<LaidRun>& runs);

/// Gaps between the laid pipe and the marks, by mark. Up and down where it crosses one whose depth was measured by
/// exposure, counted from the ground at the crossing; sideways where it runs along one and its places were measured.
/// Where that is not known the text says so and names no figure.
std::vector<Finding> laid_gap_findings(const MeasuredTrench& measured, const Site& site, const Ground& ground,
                                       const Rules& rules);

} // namespace trenchwright
