#include "route/obstacles.hpp"

#include "geom/along.hpp"
#include "geom/measure.hpp"
#include "route/lot_edges.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

void add_polygons(std::vector<Obstacle>& all, const std::vector<Polygon>& areas, const std::string& name,
                  double clearance_m)
{
    for (const auto& area : areas) {
        all.push_back({.name = name, .shape = area, .clearance_m = clearance_m});
    }
}

void add_lot_edges(std::vector<Obstacle>& all, const Site& site, double clearance_m, const RouteRules& rules)
{
    if (rules.outside_lot == OutsideLot::not_neighbours) {
        return;
    }
    // In short pieces: most of a long street's edge is nowhere near.
    constexpr std::size_t piece_runs = 8;
    const auto add = [&](const Polyline& edge, double from_axis_m) {
        for (std::size_t first = 0; first + 1 < edge.size(); first += piece_runs) {
            const std::size_t last = std::min(first + piece_runs, edge.size() - 1);
            all.push_back({.name = "edge of the lot and right-of-way",
                           .shape = Polyline(edge.begin() + static_cast<std::ptrdiff_t>(first),
                                             edge.begin() + static_cast<std::ptrdiff_t>(last) + 1),
                           .clearance_m = from_axis_m,
                           .near_source = true,
                           .near_end = true});
        }
    };
    const auto& setback = rules.setbacks.lot_line;
    const double asked_m = setback.hard ? rules.section.width_m / 2 + setback.distance_m : 0;
    for (const auto& edge : lot_line(site, rules.boundary_snap_m)) {
        add(edge, std::max(clearance_m, asked_m));
    }
    for (const auto& edge : free_edges(site.right_of_way, site.parcel, rules.boundary_snap_m)) {
        add(edge, clearance_m);
    }
}

/// What a hard setback keeps every route from.
void add_reserves(std::vector<Obstacle>& all, const std::vector<Reserve>& reserves, std::string_view what,
                  const SetbackRule& rule, double half_m)
{
    if (!rule.hard) {
        return;
    }
    for (const auto& reserve : reserves) {
        all.push_back({.name = fmt::format("{} {}", what, reserve.id),
                       .shape = reserve.place,
                       .clearance_m = half_m + rule.distance_m});
    }
}

void add_foundations(std::vector<Obstacle>& all, const Site& site, double half_m, const RouteRules& rules)
{
    for (const auto& area : site.foundations) {
        all.push_back({.name = "foundation",
                       .shape = area,
                       .clearance_m = half_m + rules.foundation_clearance_m,
                       .near_source = true});
    }
}

/// The parts of a run outside a circle about a point.
std::vector<Polyline> outside_circle(const Polyline& run, const Point& centre, double radius_m)
{
    std::vector<Polyline> parts;
    for (const auto& span : minus({{0, length_m(run)}}, strip_spans_within(run, 0, centre, radius_m))) {
        parts.push_back({point_at(run, span.from_m), point_at(run, span.to_m)});
    }
    return parts;
}

bool enters(const Polyline& run, const Obstacle& obstacle, const Run& ends, double snap_m)
{
    if (const auto* area = std::get_if<Polygon>(&obstacle.shape)) {
        return total_m(spans_inside(run, *area)) > snap_m;
    }
    auto parts = ends.to_end ? outside_circle(run, ends.lower, snap_m) : std::vector<Polyline>{run};
    return std::any_of(parts.begin(), parts.end(),
                       [&](const Polyline& part) { return !(distance_m(part, obstacle) > 0); });
}

bool too_near(const Run& ends, const Polyline& run, const Point& source, const Obstacle& obstacle,
              const RouteRules& rules)
{
    // Rounding in the waiver circles and in site metres stays far below a micrometre.
    const double clearance = obstacle.clearance_m - 1e-6;
    if (distance_m(run, obstacle) >= clearance) {
        return false;
    }
    std::vector<Polyline> strict{run};
    if (obstacle.near_source) {
        strict = outside_circle(run, source, rules.wall_exit_length_m);
    }
    if (obstacle.near_end && ends.to_end) {
        std::vector<Polyline> rest;
        for (const auto& part : strict) {
            for (auto& piece : outside_circle(part, ends.lower, rules.wall_exit_length_m)) {
                rest.push_back(std::move(piece));
            }
        }
        strict = std::move(rest);
    }
    return enters(run, obstacle, ends, rules.boundary_snap_m) ||
           std::any_of(strict.begin(), strict.end(),
                       [&](const Polyline& part) { return distance_m(part, obstacle) < clearance; });
}

} // namespace

std::vector<Obstacle> obstacles(const Site& site, const RouteRules& rules)
{
    std::vector<Obstacle> all;
    const double half = rules.section.width_m / 2;
    const double clearance = half + rules.keep_out_clearance_m;
    add_foundations(all, site, half, rules);
    add_polygons(all, site.neighbour_buildings, "neighbour's building", half + rules.foundation_clearance_m);
    add_polygons(all, site.neighbours, "neighbour's lot", clearance);
    for (const auto& keep_out : site.keep_outs) {
        add_polygons(all, {keep_out.area}, fmt::format("keep-out {} ({})", keep_out.id, keep_out.reason), clearance);
    }
    for (const auto& mark : site.marks) {
        if (!mark.may_cross) {
            all.push_back(
                {.name = fmt::format("{} line {} without crossing right", facility_name(mark.facility), mark.id),
                 .shape = mark.line,
                 .clearance_m = half + hand_dig_reach_m(mark, rules)});
        }
    }
    for (const auto& tree : site.trees) {
        all.push_back({.name = fmt::format("inner root circle of tree {}", tree.id),
                       .shape = tree.at,
                       .clearance_m = half + rules.tree_keep_out_factor * tree.trunk_diameter_m});
    }
    add_lot_edges(all, site, clearance, rules);
    add_reserves(all, site.wells, "well", rules.setbacks.well, half);
    add_reserves(all, site.septic, "septic", rules.setbacks.septic, half);
    add_reserves(all, site.easements, "easement", rules.setbacks.easement, half);
    for (auto& obstacle : all) {
        obstacle.reach = grown(box_of(obstacle.shape), obstacle.clearance_m);
    }
    return all;
}

double distance_m(const Polyline& line, const Obstacle& obstacle)
{
    return std::visit(
        [&](const auto& shape) -> double {
            using Shape = std::decay_t<decltype(shape)>;
            if constexpr (std::is_same_v<Shape, Point>) {
                return distance_m(shape, line);
            } else {
                return distance_m(line, shape);
            }
        },
        obstacle.shape);
}

double distance_m(const Point& p, const Obstacle& obstacle)
{
    return std::visit([&](const auto& shape) { return distance_m(p, shape); }, obstacle.shape);
}

Box box_of(const std::variant<Point, Polyline, Polygon>& place)
{
    if (const auto* area = std::get_if<Polygon>(&place)) {
        return bounds(area->outer);
    }
    if (const auto* line = std::get_if<Polyline>(&place)) {
        return bounds(*line);
    }
    return bounds(std::span(&std::get<Point>(place), 1));
}

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

std::optional<RouteFault> surface_fault(const Run& run, const SurfaceSpans& surfaces, const RouteRules& rules)
{
    const Polyline line{run.upper, run.lower};
    const double checked_until_m = length_m(line) - (run.to_end ? rules.wall_exit_length_m : 0);
    for (const auto& [span, kind] : surfaces) {
        const auto rule = rules.surfaces.find(kind);
        const bool closed_surface = rule != rules.surfaces.end() && !rule->second.may_enter;
        if (closed_surface && std::min(span.to_m, checked_until_m) - span.from_m > rules.boundary_snap_m) {
            return RouteFault{.text = fmt::format("runs through {}", kind), .at = point_at(line, span.from_m)};
        }
    }
    return std::nullopt;
}

double outside_lot_by_m(const Site& site, const Point& p, const RouteRules& rules)
{
    if (rules.outside_lot == OutsideLot::not_neighbours) {
        return 0;
    }
    double away = std::numeric_limits<double>::infinity();
    for (const auto* areas : {&site.parcel, &site.right_of_way}) {
        for (const auto& area : *areas) {
            if (contains(area, p)) {
                return 0;
            }
            away = std::min(away, boundary_distance_m(p, area));
        }
    }
    return away <= rules.boundary_snap_m ? 0 : away;
}

} // namespace trenchwright
