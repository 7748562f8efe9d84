#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/obstacles.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// Rounding in the waiver circles and in site meters stays far below a micrometer.
constexpr double rounding_m = 1e-6;

/// The parts of a run outside a circle about a point.
std::vector<Polyline> outside_circle(const Polyline& run, const Point& center, double radius_m)
{
    std::vector<Polyline> parts;
    for (const auto& span : minus({{0, length_m(run)}}, strip_spans_within(run, 0, center, radius_m))) {
        parts.push_back({point_at(run, span.from_m), point_at(run, span.to_m)});
    }
    return parts;
}

/// The parts of a run where no clearance is waived.
std::vector<Polyline> strict_parts(const Run& ends, const Polyline& run, const Point& source, const Obstacle& obstacle,
                                   const RouteRules& rules)
{
    std::vector<Polyline> strict;
    for (const auto& part : outside_circle(run, source, rules.wall_exit_length_m)) {
        if (obstacle.waiver != Waiver::at_lot_end || !ends.to_end) {
            strict.push_back(part);
            continue;
        }
        for (auto& piece : outside_circle(part, ends.lower, rules.wall_exit_length_m)) {
            strict.push_back(std::move(piece));
        }
    }
    return strict;
}

/// How much of the run the pipe may take to come out of the wall it starts in.
double longest_exit_m(const RouteRules& rules)
{
    return std::max(rules.min_run_m, rules.boundary_snap_m + rules.section.outside_diameter_m);
}

/// The axis or a part of the pipe lies in the foundation other than on its way out of the wall.
bool pipe_in_wall(const Run& ends, const Polyline& run, const Point& source, const Polygon& wall,
                  const RouteRules& rules)
{
    const double half_pipe = rules.section.outside_diameter_m / 2 - rounding_m;
    if (!(ends.upper == source)) {
        return distance_m(run, wall) < half_pipe;
    }
    if (distance_m(run, wall) < std::min(half_pipe, distance_m(source, wall) - rounding_m)) {
        return true; // nearer than it starts
    }
    const auto inside = spans_inside(run, wall);
    if (total_m(inside) > rules.boundary_snap_m + rounding_m) {
        return true;
    }
    auto near = inside;
    const auto add = [&](const Ring& ring) {
        const auto spans = strip_spans_within(run, 0, closed(ring), half_pipe);
        near.insert(near.end(), spans.begin(), spans.end());
    };
    add(wall.outer);
    std::ranges::for_each(wall.holes, add);
    return std::ranges::any_of(merged(std::move(near)), [&](const Interval& span) {
        return span.from_m > rounding_m || span.to_m > longest_exit_m(rules);
    });
}

/// The trench on a run: a rectangle, smaller all round by what rounding may move it.
Polygon strip_of(const Polyline& run, double width_m)
{
    const double heading = direction_rad(run.front(), run.back());
    const double half = width_m / 2 - rounding_m;
    const Point along{.x_m = rounding_m * std::cos(heading), .y_m = rounding_m * std::sin(heading)};
    const Point left{.x_m = -half * std::sin(heading), .y_m = half * std::cos(heading)};
    const auto corner = [&](const Point& p, double on, double aside) {
        return Point{.x_m = p.x_m + on * along.x_m + aside * left.x_m,
                     .y_m = p.y_m + on * along.y_m + aside * left.y_m};
    };
    return {.outer = {corner(run.front(), 1, 1), corner(run.front(), 1, -1), corner(run.back(), -1, -1),
                      corner(run.back(), -1, 1)},
            .holes = {}};
}

/// Touching is not keeping.
bool keeps(double distance_m, const Obstacle& edge)
{
    return edge.edge_m > 0 ? distance_m >= edge.edge_m - rounding_m : distance_m > 0;
}

/// Square where the trench starts and ends, round at its bends.
bool strip_clear(const Run& ends, const Polyline& run, const Point& source, const Obstacle& edge,
                 const RouteRules& rules)
{
    const double width = rules.section.width_m;
    const double from_bend = width / 2 + edge.edge_m - rounding_m;
    return keeps(distance_m(std::get<Polyline>(edge.shape), strip_of(run, width)), edge) &&
           (ends.upper == source || distance_m(ends.upper, edge) >= from_bend) &&
           (ends.to_end || distance_m(ends.lower, edge) >= from_bend);
}

/// The end of a trench to an outlet that lies on the edge itself, as far as the layers can tell.
bool meets_outlet_on(const Run& ends, const Polyline& run, const Point& source, const Obstacle& edge,
                     const RouteRules& rules)
{
    const double snap = rules.boundary_snap_m;
    if (!ends.to_end || !(distance_m(ends.lower, edge) <= snap)) {
        return false;
    }
    const auto before = outside_circle(run, ends.lower, snap);
    const bool crosses = std::ranges::any_of(before, [&](const auto& part) { return !(distance_m(part, edge) > 0); });
    if (crosses || edge.kind == ObstacleKind::street_edge) {
        return !crosses;
    }
    const double half = rules.section.width_m / 2;
    const double length = length_m(run);
    const auto corners = strip_of(run, rules.section.width_m).outer;
    const bool square = distance_m(corners[2], edge) <= snap && distance_m(corners[3], edge) <= snap;
    return square && edge.edge_m == 0 &&
           (length <= half || strip_clear(ends, {run.front(), point_at(run, length - half)}, source, edge, rules));
}

bool too_near(const Run& ends, const Polyline& run, const Point& source, const Obstacle& obstacle,
              const RouteRules& rules)
{
    const double clearance = obstacle.clearance_m - rounding_m;
    if (distance_m(run, obstacle) >= clearance) {
        return false;
    }
    if (obstacle.waiver == Waiver::none) {
        return true;
    }
    const auto strict = strict_parts(ends, run, source, obstacle, rules);
    if (std::ranges::any_of(strict, [&](const auto& part) { return distance_m(part, obstacle) < clearance; })) {
        return true;
    }
    if (obstacle.waiver == Waiver::at_party_wall) {
        return distance_m(run, obstacle) < rules.section.outside_diameter_m / 2 - rounding_m;
    }
    return obstacle.waiver == Waiver::at_wall
               ? pipe_in_wall(ends, run, source, std::get<Polygon>(obstacle.shape), rules)
               : !strip_clear(ends, run, source, obstacle, rules) &&
                     !meets_outlet_on(ends, run, source, obstacle, rules);
}

/// Where the outer edges of two runs meet.
Point outer_corner(const Point& before, const Point& bend, const Point& after, double half_m)
{
    const double in = direction_rad(before, bend);
    const double out = direction_rad(bend, after);
    const double turn = std::remainder(out - in, 2 * std::numbers::pi);
    const double outward = in + turn / 2 + (turn > 0 ? -1 : 1) * std::numbers::pi / 2;
    const double away = half_m / std::cos(turn / 2);
    return {.x_m = bend.x_m + away * std::cos(outward), .y_m = bend.y_m + away * std::sin(outward)};
}

} // namespace

std::optional<RouteFault> obstacle_fault(const Run& run, const Point& source, const std::vector<Obstacle>& all,
                                         const RouteRules& rules)
{
    const Polyline line{run.upper, run.lower};
    const Box box = bounds(line);
    for (const auto& obstacle : all) {
        if (overlap(box, obstacle.reach) && too_near(run, line, source, obstacle, rules)) {
            return RouteFault{.text = fmt::format("enters or comes too near to {}", obstacle.name), .at = run.lower};
        }
    }
    return std::nullopt;
}

std::optional<RouteFault> corner_fault(const Point& before, const Point& bend, const Point& after,
                                       const std::vector<Obstacle>& all, const RouteRules& rules)
{
    const double half = rules.section.width_m / 2;
    for (const auto& obstacle : all) {
        if (obstacle.waiver != Waiver::at_lot_end || !overlap(bounds(std::span(&bend, 1)), obstacle.reach)) {
            continue;
        }
        const Polyline reach{bend, outer_corner(before, bend, after, half)};
        if (!keeps(distance_m(reach, obstacle), obstacle)) {
            return RouteFault{.text = fmt::format("comes too near to {} at a bend", obstacle.name), .at = bend};
        }
    }
    return std::nullopt;
}

} // namespace trenchwright
