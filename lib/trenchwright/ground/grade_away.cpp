#include "trenchwright/ground/grade_away.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

WallGrade wall_grade(const Ground& ground, const Polygon& house, const Point& a, const Point& b, bool out_is_right,
                     double reach_m, double step_m)
{
    const double length = distance_m(a, b);
    const double turn = (out_is_right ? reach_m : -reach_m) / length;
    const Point out{.x_m = (b.y_m - a.y_m) * turn, .y_m = -(b.x_m - a.x_m) * turn};
    WallGrade wall{.from = a, .to = b, .min_fall_m = {}, .min_at = a};
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
            const double fall = elev_along_m(*near, p.station_m) - elev_along_m(*far, p.station_m);
            if (!wall.min_fall_m || fall < *wall.min_fall_m) {
                wall.min_fall_m = fall;
                wall.min_at = point_at({a, b}, p.station_m);
            }
        }
    }
    return wall;
}

void add_walls(std::vector<WallGrade>& walls, const Ground& ground, const Polygon& house, double reach_m, double step_m,
               double shortest_m)
{
    const auto& ring = house.outer;
    const bool anticlockwise = signed_area_m2(ring) > 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& a = ring[i];
        const Point& b = ring[(i + 1) % ring.size()];
        if (distance_m(a, b) >= shortest_m) {
            walls.push_back(wall_grade(ground, house, a, b, anticlockwise, reach_m, step_m));
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
