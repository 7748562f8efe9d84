#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

/// Nearer to each other than this two places are one: far below what a file of meters keeps apart.
constexpr double same_place_m = 1e-9;

} // namespace

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
