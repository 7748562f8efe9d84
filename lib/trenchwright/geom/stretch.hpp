#pragma once

#include "trenchwright/geom/shapes.hpp"

namespace trenchwright {

/// Distances from the first point to each point of the line.
std::vector<double> vertex_stations_m(const Polyline& line);

/// The stretch of a line between two stations, with the vertices between; two equal points when it has no length.
Polyline stretch_of(const Polyline& line, const Interval& span);

} // namespace trenchwright
