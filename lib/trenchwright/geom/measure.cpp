#include "trenchwright/geom/measure.hpp"

#include "trenchwright/geom/triangulation.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// Where on a-b, as a share of it in [0, 1], the point nearest to p lies.
double nearest_share(const Point& p, const Point& a, const Point& b)
{
    const double dx = b.x_m - a.x_m;
    const double dy = b.y_m - a.y_m;
    const double squared = dx * dx + dy * dy;
    if (!(squared > 0)) {
        return 0;
    }
    return std::clamp(((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / squared, 0.0, 1.0);
}

Point between(const Point& a, const Point& b, double share)
{
    return {.x_m = a.x_m + share * (b.x_m - a.x_m), .y_m = a.y_m + share * (b.y_m - a.y_m)};
}

/// Exact signs: with rounded ones two pieces of one straight line, far apart along it, seem to cross.
bool proper_cross(const Point& a, const Point& b, const Point& c, const Point& d)
{
    return turn_sign(a, b, c) * turn_sign(a, b, d) < 0 && turn_sign(c, d, a) * turn_sign(c, d, b) < 0;
}

double segments_distance_m(const Point& a, const Point& b, const Point& c, const Point& d)
{
    if (proper_cross(a, b, c, d)) {
        return 0;
    }
    return std::min({distance_m(a, c, d), distance_m(b, c, d), distance_m(c, a, b), distance_m(d, a, b)});
}

double line_to_segment_m(const Polyline& line, const Point& a, const Point& b)
{
    double best = line.size() == 1 ? distance_m(line[0], a, b) : infinity;
    for (std::size_t i = 1; i < line.size(); ++i) {
        best = std::min(best, segments_distance_m(line[i - 1], line[i], a, b));
    }
    return best;
}

template <class EachSegment> void for_each_segment(const Ring& ring, EachSegment each)
{
    for (std::size_t i = 0; i < ring.size(); ++i) {
        each(ring[i], ring[(i + 1) % ring.size()]);
    }
}

template <class EachRing> void for_each_ring(const Polygon& area, EachRing each)
{
    each(area.outer);
    for (const auto& hole : area.holes) {
        each(hole);
    }
}

} // namespace

double twice_area_m2(const Point& a, const Point& b, const Point& c)
{
    return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m);
}

double signed_area_m2(const Ring& ring)
{
    double twice = 0;
    for (std::size_t i = 2; i < ring.size(); ++i) {
        twice += twice_area_m2(ring[0], ring[i - 1], ring[i]);
    }
    return twice / 2;
}

double between_lines_rad(double a_rad, double b_rad)
{
    return std::abs(std::remainder(a_rad - b_rad, std::numbers::pi));
}

double distance_m(const Point& a, const Point& b)
{
    // Site meters neither overflow nor vanish when squared, and nothing is called more often.
    const double dx = b.x_m - a.x_m;
    const double dy = b.y_m - a.y_m;
    return std::sqrt(dx * dx + dy * dy);
}

double distance_m(const Point& p, const Point& segment_a, const Point& segment_b)
{
    return distance_m(p, between(segment_a, segment_b, nearest_share(p, segment_a, segment_b)));
}

double distance_m(const Point& p, const Polyline& line)
{
    double best = line.size() == 1 ? distance_m(p, line[0]) : infinity;
    for (std::size_t i = 1; i < line.size(); ++i) {
        best = std::min(best, distance_m(p, line[i - 1], line[i]));
    }
    return best;
}

double distance_m(const Polyline& a, const Polyline& b)
{
    double best = b.size() == 1 ? distance_m(b[0], a) : infinity;
    for (std::size_t i = 1; i < b.size(); ++i) {
        best = std::min(best, line_to_segment_m(a, b[i - 1], b[i]));
    }
    return best;
}

double distance_m(const Point& p, const Polygon& area)
{
    return contains(area, p) ? 0 : boundary_distance_m(p, area);
}

double distance_m(const Polyline& line, const Polygon& area)
{
    if (!line.empty() && contains(area, line[0])) {
        return 0;
    }
    double best = infinity;
    for_each_ring(area, [&](const Ring& ring) {
        for_each_segment(ring,
                         [&](const Point& a, const Point& b) { best = std::min(best, line_to_segment_m(line, a, b)); });
    });
    return best;
}

double place_distance_m(const Point& p, const std::variant<Point, Polyline, Polygon>& place)
{
    return std::visit([&](const auto& shape) { return distance_m(p, shape); }, place);
}

double place_distance_m(const Polyline& line, const std::variant<Point, Polyline, Polygon>& place)
{
    const auto* p = std::get_if<Point>(&place);
    const auto* other = std::get_if<Polyline>(&place);
    return p != nullptr       ? distance_m(*p, line)
           : other != nullptr ? distance_m(line, *other)
                              : distance_m(line, std::get<Polygon>(place));
}

double boundary_distance_m(const Point& p, const Polygon& area)
{
    double best = infinity;
    for_each_ring(area, [&](const Ring& ring) {
        for_each_segment(ring, [&](const Point& a, const Point& b) { best = std::min(best, distance_m(p, a, b)); });
    });
    return best;
}

double length_m(const Polyline& line)
{
    double sum = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        sum += distance_m(line[i - 1], line[i]);
    }
    return sum;
}

double area_m2(const Polygon& area)
{
    double sum = std::abs(signed_area_m2(area.outer));
    for (const auto& hole : area.holes) {
        sum -= std::abs(signed_area_m2(hole));
    }
    return sum;
}

bool contains(const Polygon& area, const Point& p)
{
    bool inside = false;
    bool on_ring = false;
    for_each_ring(area, [&](const Ring& ring) {
        for_each_segment(ring, [&](const Point& a, const Point& b) {
            if ((a.y_m < p.y_m && b.y_m < p.y_m) || (a.y_m > p.y_m && b.y_m > p.y_m)) {
                return; // most of a long ring
            }
            const bool within = std::min(a.x_m, b.x_m) <= p.x_m && p.x_m <= std::max(a.x_m, b.x_m);
            const bool spans = (a.y_m > p.y_m) != (b.y_m > p.y_m);
            const int side = within || spans ? turn_sign(a, b, p) : 0;
            on_ring = on_ring || (side == 0 && within);
            if (spans && (side > 0) == (b.y_m > a.y_m)) {
                inside = !inside;
            }
        });
    });
    return inside || on_ring;
}

Point point_at(const Polyline& line, double station_m)
{
    double left = std::max(station_m, 0.0);
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        if (left <= run && run > 0) {
            return between(line[i - 1], line[i], left / run);
        }
        left -= run;
    }
    return line.back();
}

double station_of(const Polyline& line, const Point& p)
{
    double best = infinity;
    double station = 0;
    double start = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        const double share = nearest_share(p, line[i - 1], line[i]);
        const double away = distance_m(p, between(line[i - 1], line[i], share));
        if (away < best) {
            best = away;
            station = start + share * run;
        }
        start += run;
    }
    return station;
}

double turn_rad(const Point& a, const Point& b, const Point& c)
{
    const double ux = b.x_m - a.x_m;
    const double uy = b.y_m - a.y_m;
    const double vx = c.x_m - b.x_m;
    const double vy = c.y_m - b.y_m;
    return std::atan2(std::abs(ux * vy - uy * vx), ux * vx + uy * vy);
}

double direction_rad(const Point& a, const Point& b)
{
    return std::atan2(b.y_m - a.y_m, b.x_m - a.x_m);
}

Box bounds(std::span<const Point> points)
{
    Box box{.min_x_m = infinity, .min_y_m = infinity, .max_x_m = -infinity, .max_y_m = -infinity};
    for (const auto& p : points) {
        box.min_x_m = std::min(box.min_x_m, p.x_m);
        box.min_y_m = std::min(box.min_y_m, p.y_m);
        box.max_x_m = std::max(box.max_x_m, p.x_m);
        box.max_y_m = std::max(box.max_y_m, p.y_m);
    }
    return box;
}

Box grown(Box box, double by_m)
{
    return {.min_x_m = box.min_x_m - by_m,
            .min_y_m = box.min_y_m - by_m,
            .max_x_m = box.max_x_m + by_m,
            .max_y_m = box.max_y_m + by_m};
}

bool overlap(const Box& a, const Box& b)
{
    return a.min_x_m <= b.max_x_m && b.min_x_m <= a.max_x_m && a.min_y_m <= b.max_y_m && b.min_y_m <= a.max_y_m;
}

Polyline closed(const Ring& ring)
{
    Polyline line = ring;
    if (!ring.empty()) {
        line.push_back(ring.front());
    }
    return line;
}

} // namespace trenchwright
