#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The outlet whose trenches the locate request draws: the one the job names in [request], else the one that all other
/// papers of the folder show (drawn_outlet).
///
/// White lines are drawn for one outlet only: a locator marks what lies inside them, and lines for a way not taken
/// would cost his time and leave white paint where nobody digs.
struct LocateRequest {
    const OutletOutcome* outcome = nullptr; ///< nothing: there is no way to draw
    std::string why;                        ///< "the best that works", "named in the job", "it is refused"
    /// What the sheets, the cut sheet and the crew page show, where that is another outlet; else nothing.
    const OutletOutcome* papers = nullptr;
};
/// @throws Error (input) as drawn_outlet
LocateRequest locate_request(const JobPlan& plan);

/// The warning that white lines and papers are for two different outlets; empty where they are for one.
std::string request_warning(const JobPlan& plan, const LocateRequest& request);

/// How far a place is from the corners of a lot or a house, the nearest first.
struct CornerTie {
    Point corner;
    double distance_m = 0;
};
/// @return at most `most` corners of the outer rings
std::vector<CornerTie> nearest_corners(const Point& at, const std::vector<Polygon>& areas, std::size_t most);

/// The area that the white lines of one trench enclose: the trench with the room beside it that the settings ask for,
/// carried on as far beyond its lower end. More than one polygon or a hole where the trench nearly meets itself.
std::vector<Polygon> white_area(const TrenchPlan& trench, const Rules& rules);

} // namespace trenchwright
