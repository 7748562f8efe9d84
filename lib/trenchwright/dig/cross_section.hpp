#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <utility>
#include <vector>

/// Straight runs of a trench as the exact checks move along them. Internal to the module.
namespace trenchwright {

/// A straight stretch of a line between two breaks.
struct StraightRun {
    Interval span; ///< stations
    Point from;    ///< at span.from_m
    Point along;   ///< unit vector, station rising
    [[nodiscard]] Point at(double station_m) const
    {
        const double on_m = station_m - span.from_m;
        return {.x_m = from.x_m + along.x_m * on_m, .y_m = from.y_m + along.y_m * on_m};
    }
    /// The two ends of the cross-section, left and right as seen up the line.
    [[nodiscard]] std::pair<Point, Point> across(double station_m, double half_width_m) const
    {
        const Point p = at(station_m);
        const Point side{.x_m = -along.y_m * half_width_m, .y_m = along.x_m * half_width_m};
        return {{.x_m = p.x_m + side.x_m, .y_m = p.y_m + side.y_m}, {.x_m = p.x_m - side.x_m, .y_m = p.y_m - side.y_m}};
    }
    /// How far a place lies up the line from span.from_m, and to the left of it.
    [[nodiscard]] Point local(const Point& p) const
    {
        const double right_m = p.x_m - from.x_m;
        const double up_m = p.y_m - from.y_m;
        return {.x_m = right_m * along.x_m + up_m * along.y_m, .y_m = up_m * along.x_m - right_m * along.y_m};
    }
};

/// The line cut at its vertices and at the stations given; what lies off the line is left out.
std::vector<StraightRun> runs_of(const Polyline& line, std::vector<double> breaks_m);

} // namespace trenchwright
