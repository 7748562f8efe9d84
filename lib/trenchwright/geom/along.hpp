#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <vector>

namespace trenchwright {

/// Which stretches of a line meet something. Exact for straight segments: no sampling, no buffers.
/// Every result is sorted by distance along `line`, disjoint, and merged where stretches touch.

/// Stretches of the line inside the polygon (its holes are outside).
std::vector<Interval> spans_inside(const Polyline& line, const Polygon& area);

/// Stretches of the line's axis from which any part of a strip of the given full width lies within
/// `reach_m` of `other`: the projection on the axis of the strip's overlap with the round-ended
/// zone. width 0 gives the plain "within distance" stretches. At bends each run's strip is taken
/// by itself and reaches half a width past the bend, so the outer corner is covered; where only that
/// corner is near, the stretch is the bend alone, of no length. At its two ends the strip is flat.
std::vector<Interval> strip_spans_within(const Polyline& line, double width_m, const Polyline& other, double reach_m);

/// The same about a point (a tree circle).
std::vector<Interval> strip_spans_within(const Polyline& line, double width_m, const Point& center, double reach_m);

/// Where two lines cross.
struct LineCrossing {
    double station_m = 0;       ///< along `line`
    double other_station_m = 0; ///< along `other`
    double angle_rad = 0;       ///< between the two, in (0, pi/2]
    Point at;
    friend bool operator==(const LineCrossing&, const LineCrossing&) = default;
};

/// Proper crossings and touches, by rising station; overlapping (collinear) stretches give none,
/// they are parallel running. A crossing through a shared vertex is given once, with the sharpest of
/// the angles met there. Lines within 1e-9 m of each other count as touching.
std::vector<LineCrossing> crossings(const Polyline& line, const Polyline& other);

/// Union of stretches.
std::vector<Interval> merged(std::vector<Interval> spans);
/// Stretches a machine can honour: shorter ones widened to `min_m` about their middle (inside [0, length_m]), and
/// ones nearer than that to each other joined. Nothing is ever taken away.
std::vector<Interval> rounded_out(std::vector<Interval> spans, double min_m, double length_m);
/// a without b; both sorted and disjoint.
std::vector<Interval> minus(const std::vector<Interval>& a, const std::vector<Interval>& b);
double total_m(const std::vector<Interval>& spans);

} // namespace trenchwright
