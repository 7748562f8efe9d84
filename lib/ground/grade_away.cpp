#include "ground/grade_away.hpp"

#include "geom/measure.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

double elev_at_m(const std::vector<GroundPoint>& ground, double station_m)
{
    const auto after = std::ranges::lower_bound(ground, station_m, {}, &GroundPoint::station_m);
    if (after == ground.begin()) {
        return ground.front().elev_m;
    }
    if (after == ground.end()) {
        return ground.back().elev_m;
    }
    const auto& before = *(after - 1);
    const double share = (station_m - before.station_m) / (after->station_m - before.station_m);
    return before.elev_m + share * (after->elev_m - before.elev_m);
}

WallGrade wall_grade(const Ground& ground, const Polygon& house, const Point& a, const Point& b, bool out_is_right,
                     double reach_m, double step_m)
{
    const double length = distance_m(a, b);
    const double turn = (out_is_right ? reach_m : -reach_m) / length;
    const Point out{.x_m = (b.y_m - a.y_m) * turn, .y_m = -(b.x_m - a.x_m) * turn};
    WallGrade wall{.from = a, .to = b, .least_fall_m = {}, .least_at = a};
    const Polyline outer{{.x_m = a.x_m + out.x_m, .y_m = a.y_m + out.y_m},
                         {.x_m = b.x_m + out.x_m, .y_m = b.y_m + out.y_m}};
    const auto near = ground.along({a, b}, step_m);
    const auto far = ground.along(outer, step_m);
    if (!near || !far) {
        return wall;
    }
    for (const auto* line : {&*near, &*far}) {
        for (const auto& p : *line) {
            if (contains(house, point_at(outer, p.station_m))) {
                continue; // opposite another wing there is no ground to fall
            }
            const double fall = elev_at_m(*near, p.station_m) - elev_at_m(*far, p.station_m);
            if (!wall.least_fall_m || fall < *wall.least_fall_m) {
                wall.least_fall_m = fall;
                wall.least_at = point_at({a, b}, p.station_m);
            }
        }
    }
    return wall;
}

void add_walls(std::vector<WallGrade>& walls, const Ground& ground, const Polygon& house, double reach_m, double step_m,
               double shortest_m)
{
    const auto& ring = house.outer;
    double twice = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& p = ring[i];
        const Point& q = ring[(i + 1) % ring.size()];
        twice += (p.x_m - ring[0].x_m) * (q.y_m - ring[0].y_m) - (q.x_m - ring[0].x_m) * (p.y_m - ring[0].y_m);
    }
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& a = ring[i];
        const Point& b = ring[(i + 1) % ring.size()];
        if (distance_m(a, b) >= shortest_m) {
            walls.push_back(wall_grade(ground, house, a, b, twice > 0, reach_m, step_m));
        }
    }
}

} // namespace

std::vector<WallGrade> grade_away(const Ground& ground, const std::vector<Polygon>& houses, double reach_m,
                                  double step_m, double shortest_m)
{
    std::vector<WallGrade> walls;
    for (const auto& house : houses) {
        add_walls(walls, ground, house, reach_m, step_m, shortest_m);
    }
    return walls;
}

} // namespace trenchwright
