#pragma once

#include "trenchwright/base/point.hpp"

#include <vector>

namespace trenchwright {

/// At least two points where a line is meant; consecutive points differ.
using Polyline = std::vector<Point>;

/// A closed ring; the first point is not repeated at the end.
using Ring = std::vector<Point>;

/// One outer ring and its holes, any orientation.
struct Polygon {
    Ring outer;
    std::vector<Ring> holes;
    friend bool operator==(const Polygon&, const Polygon&) = default;
};

/// A stretch of a line by distance from its first point; from_m <= to_m.
struct Interval {
    double from_m = 0;
    double to_m = 0;
    friend bool operator==(const Interval&, const Interval&) = default;
};

/// Axis-aligned bounds.
struct Box {
    double min_x_m = 0;
    double min_y_m = 0;
    double max_x_m = 0;
    double max_y_m = 0;
};

/// Ground elevation at a distance along a line; linear between neighbors.
struct GroundPoint {
    double station_m = 0;
    double elev_m = 0;
    friend bool operator==(const GroundPoint&, const GroundPoint&) = default;
};

/// Elevations on a regular grid of points (cell centers), row 0 at the lowest y.
/// The grid may be turned and skewed: point(col, row) = origin + col * step_col + row * step_row.
struct Raster {
    int cols = 0;
    int rows = 0;
    Point origin;               ///< center of cell (0, 0)
    Point step_col;             ///< from one column's center to the next
    Point step_row;             ///< from one row's center to the next
    std::vector<double> elev_m; ///< row by row, NaN where there is no data
};

} // namespace trenchwright
