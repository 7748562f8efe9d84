#include "trenchwright/geom/stretch.hpp"

#include "trenchwright/geom/measure.hpp"

namespace trenchwright {

namespace {

/// Nearer to each other than this two places are one: far below what a file of meters keeps apart.
constexpr double same_place_m = 1e-9;

} // namespace

std::vector<double> vertex_stations_m(const Polyline& line)
{
    std::vector<double> stations{0};
    for (std::size_t i = 1; i < line.size(); ++i) {
        stations.push_back(stations.back() + distance_m(line[i - 1], line[i]));
    }
    return stations;
}

Polyline stretch_of(const Polyline& line, const Interval& span)
{
    const auto stations = vertex_stations_m(line);
    Polyline stretch{point_at(line, span.from_m)};
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (stations[i] > span.from_m + same_place_m && stations[i] < span.to_m - same_place_m) {
            stretch.push_back(line[i]);
        }
    }
    stretch.push_back(point_at(line, span.to_m));
    return stretch;
}

} // namespace trenchwright
