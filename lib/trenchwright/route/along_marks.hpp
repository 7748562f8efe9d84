#pragma once

#include "trenchwright/geom/along.hpp"
#include "trenchwright/route/route.hpp"

#include <cstddef>
#include <span>
#include <vector>

/// Which stretches of a trench run along a mark, and which cross it.
namespace trenchwright {

/// A strip about a line and how near to a mark is near.
struct MarkReach {
    double strip_m = 0; ///< full width
    double reach_m = 0; ///< from the strip's edge to the mark's line
    friend bool operator==(const MarkReach&, const MarkReach&) = default;
};

/// A stretch of one straight run that is near to a mark.
struct NearPiece {
    std::size_t mark = 0; ///< index into Site::marks
    Interval span = {};
    double flattest_rad = 0; ///< least angle between the run and what is near of the mark
    int crossings = 0;
    double first_crossing_m = 0; ///< stations; only with crossings
    double last_crossing_m = 0;
    friend bool operator==(const NearPiece&, const NearPiece&) = default;
};
/// @param run  two points
std::vector<NearPiece> near_pieces(const Polyline& run, const Polyline& mark, const MarkReach& reach);
/// The piece with its stations counted from farther back.
NearPiece shifted(NearPiece piece, double by_m);

/// Joins pieces that touch and keeps the stretches that are no genuine crossing.
///
/// A genuine crossing passes from one side to the other once, at no angle flatter than the least, and is near for no
/// longer than a straight crossing at its flattest angle a is: 2 reach / sin a + strip / tan a, and the strip's own
/// width more for its bends. Everything else that is near runs along the mark, whatever its heading: a zigzag, a line
/// that turns back, one that ends beside it.
/// @param pieces  of one mark, by rising station of the whole line
/// Checked against points along random zigzags in tests/along_marks_test.cpp.
std::vector<Interval> stretches_along(std::span<const NearPiece> pieces, const MarkReach& reach, double min_rad);
/// The same of a whole line.
std::vector<Interval> stretches_along(const Polyline& line, const Polyline& mark, const MarkReach& reach,
                                      double min_rad);

/// As far as the route's price for running along reaches: the whole trench, its hand-dig zone or side gap.
MarkReach priced_reach(const Mark& mark, const RouteRules& rules);

/// facts_along without the stretches along marks.
LineFacts dug_along(const Site& site, const Polyline& line, SurfaceSpans surfaces, const RouteRules& rules);

} // namespace trenchwright
