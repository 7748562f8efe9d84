#include "export/gpkg_layers.hpp"
#include "geom/measure.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

/// Nearer to each other than this two places are one: far below what a file of metres keeps apart.
constexpr double same_place_m = 1e-9;

std::vector<double> vertex_stations_m(const Polyline& line)
{
    std::vector<double> stations{0};
    for (std::size_t i = 1; i < line.size(); ++i) {
        stations.push_back(stations.back() + distance_m(line[i - 1], line[i]));
    }
    return stations;
}

} // namespace

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

std::vector<Point3> laid_line(const Polyline& line, const std::vector<GradePoint>& grades)
{
    struct Place {
        double station_m = 0;
        Point at;
    };
    std::vector<Place> places;
    const auto stations = vertex_stations_m(line);
    for (std::size_t i = 0; i < line.size(); ++i) {
        places.push_back({.station_m = stations[i], .at = line[i]});
    }
    for (const auto& grade : grades) {
        const bool at_vertex = std::ranges::any_of(
            stations, [&](double station) { return std::abs(station - grade.station_m) <= same_place_m; });
        if (!at_vertex && grade.station_m > 0 && grade.station_m < stations.back()) {
            places.push_back({.station_m = grade.station_m, .at = point_at(line, grade.station_m)});
        }
    }
    std::ranges::sort(places, {}, &Place::station_m);
    std::vector<Point3> laid;
    for (const auto& [station, at] : places) {
        laid.push_back({.x_m = at.x_m, .y_m = at.y_m, .elev_m = invert_at_m(grades, station)});
    }
    return laid;
}

} // namespace trenchwright
