#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <functional>
#include <optional>
#include <vector>

namespace trenchwright {

/// A stretch of a line where a limit is passed, and by how much at the worst place.
struct ExceedingSpan {
    Interval span = {}; ///< stations
    double max_m = 0;
    double max_station_m = 0;
    friend bool operator==(const ExceedingSpan&, const ExceedingSpan&) = default;
};

/// Less than this over a limit is rounding, a millionth of a millimeter.
inline constexpr double over_rounding_m = 1e-9;

/// Where a concave function lies above 0, with its greatest value; nothing where it never does. Golden section, then
/// halving: to a thousandth of a millimeter along the line.
///
/// The distance from a straight thing that is moved along a straight line to a convex one is convex, so "how far past
/// a sloping limit" is concave between the breaks of a line and nothing can hide between samples.
std::optional<ExceedingSpan> exceeding_spans(double from_m, double to_m, const std::function<double(double)>& over_m);

/// By rising station; stretches that touch are one.
std::vector<ExceedingSpan> joined(std::vector<ExceedingSpan> spans);

/// Distance from the straight line a-b to a convex ring of one point or more; 0 where they meet.
double distance_m(const Point& a, const Point& b, const Ring& convex);

} // namespace trenchwright
