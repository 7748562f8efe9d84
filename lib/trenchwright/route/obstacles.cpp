#include "trenchwright/route/obstacles.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/lot_edges.hpp"
#include "trenchwright/route/party_wall.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

void add_polygons(std::vector<Obstacle>& all, const std::vector<Polygon>& areas, const std::string& name,
                  double clearance_m, ObstacleKind kind)
{
    for (const auto& area : areas) {
        all.push_back({.name = name, .shape = area, .clearance_m = clearance_m, .kind = kind});
    }
}

/// In short pieces: most of a long street's edge is nowhere near.
void add_edge(std::vector<Obstacle>& all, const Polyline& edge, const Obstacle& like)
{
    constexpr std::size_t piece_runs = 8;
    for (std::size_t first = 0; first + 1 < edge.size(); first += piece_runs) {
        const std::size_t last = std::min(first + piece_runs, edge.size() - 1);
        all.push_back(like);
        all.back().shape = Polyline(edge.begin() + static_cast<std::ptrdiff_t>(first),
                                    edge.begin() + static_cast<std::ptrdiff_t>(last) + 1);
    }
}

void add_lot_edges(std::vector<Obstacle>& all, const Site& site, double clearance_m, const RouteRules& rules)
{
    const auto& setback = rules.setbacks.lot_line;
    const double required_m = setback.hard ? setback.distance_m : 0;
    const Obstacle lot{.name = "lot line",
                       .shape = {},
                       .clearance_m = std::max(clearance_m, rules.section.width_m / 2 + required_m),
                       .waiver = Waiver::at_lot_end,
                       .edge_m = required_m,
                       .kind = ObstacleKind::lot_line};
    if (rules.outside_lot == OutsideLot::not_neighbors) {
        for (const auto& edge : setback.hard ? shared_edges(site.parcel, site.neighbors, rules.boundary_snap_m)
                                             : std::vector<Polyline>{}) {
            add_edge(all, edge, lot);
        }
        return;
    }
    for (const auto& edge : lot_line(site, rules.boundary_snap_m)) {
        add_edge(all, edge, lot);
    }
    const Obstacle street{.name = "edge of the right-of-way",
                          .shape = {},
                          .clearance_m = clearance_m,
                          .waiver = Waiver::at_lot_end,
                          .kind = ObstacleKind::street_edge};
    for (const auto& edge : free_edges(site.right_of_way, site.parcel, rules.boundary_snap_m)) {
        add_edge(all, edge, street);
    }
}

std::string_view reserve_words(ObstacleKind kind)
{
    return kind == ObstacleKind::well ? "well" : kind == ObstacleKind::septic ? "septic part" : "easement";
}

/// What a hard setback keeps every route from.
void add_reserves(std::vector<Obstacle>& all, const std::vector<Reserve>& reserves, ObstacleKind kind,
                  const SetbackRule& rule, double half_m)
{
    for (const auto& reserve : reserves) {
        if (rule.hard) {
            all.push_back({.name = fmt::format("{} {}", reserve_words(kind), reserve.id),
                           .shape = reserve.place,
                           .clearance_m = half_m + rule.distance_m,
                           .kind = kind});
        }
    }
}

/// Wells and septic parts: no trench enters one, whatever its setback says. A line among them is a pipe that may be
/// crossed where its setback is no hard one.
void add_never_entered(std::vector<Obstacle>& all, const std::vector<Reserve>& reserves, ObstacleKind kind,
                       const SetbackRule& rule, double half_m)
{
    add_reserves(all, reserves, kind, rule, half_m);
    for (const auto& reserve : reserves) {
        if (!rule.hard && !std::holds_alternative<Polyline>(reserve.place)) {
            all.push_back({.name = fmt::format("{} {}", reserve_words(kind), reserve.id),
                           .shape = reserve.place,
                           .clearance_m = half_m,
                           .kind = kind});
        }
    }
}

void add_foundations(std::vector<Obstacle>& all, const Site& site, double half_m, const RouteRules& rules)
{
    for (const auto& area : site.foundations) {
        all.push_back({.name = "foundation",
                       .shape = area,
                       .clearance_m = half_m + rules.foundation_clearance_m,
                       .waiver = Waiver::at_wall,
                       .kind = ObstacleKind::foundation});
    }
}

/// One that stands against ours keeps no more from a pipe beside the wall than ours does.
void add_neighbor_buildings(std::vector<Obstacle>& all, const Site& site, double half_m, const RouteRules& rules)
{
    const auto first = all.size();
    add_polygons(all, site.neighbor_buildings, "neighbor's building", half_m + rules.foundation_clearance_m,
                 ObstacleKind::neighbor_building);
    for (const auto& wall : party_walls(site, rules.boundary_snap_m)) {
        all[first + wall.neighbor].waiver = Waiver::at_party_wall;
    }
}

} // namespace

std::vector<Obstacle> obstacles(const Site& site, const RouteRules& rules)
{
    std::vector<Obstacle> all;
    const double half = rules.section.width_m / 2;
    const double clearance = half + rules.keep_out_clearance_m;
    add_foundations(all, site, half, rules);
    add_neighbor_buildings(all, site, half, rules);
    add_polygons(all, site.neighbors, "neighbor's lot", clearance, ObstacleKind::neighbor_lot);
    for (const auto& keep_out : site.keep_outs) {
        add_polygons(all, {keep_out.area}, fmt::format("keep-out {} ({})", keep_out.id, keep_out.reason), clearance,
                     ObstacleKind::keep_out);
    }
    for (const auto& mark : site.marks) {
        if (!mark.may_cross) {
            all.push_back({.name = mark.probable() ? mark_name_and_advice(mark)
                                                   : fmt::format("{} line {} without crossing right",
                                                                 facility_name(mark.facility), mark.id),
                           .shape = mark.line,
                           .clearance_m = half + hand_dig_reach_m(mark, rules),
                           .kind = ObstacleKind::mark});
        }
    }
    for (const auto& tree : site.trees) {
        all.push_back({.name = fmt::format("inner root circle of tree {}", tree.id),
                       .shape = tree.at,
                       .clearance_m = half + rules.tree_keep_out_factor * tree.trunk_diameter_m,
                       .kind = ObstacleKind::tree});
    }
    add_lot_edges(all, site, clearance, rules);
    add_never_entered(all, site.wells, ObstacleKind::well, rules.setbacks.well, half);
    add_never_entered(all, site.septic, ObstacleKind::septic, rules.setbacks.septic, half);
    add_reserves(all, site.easements, ObstacleKind::easement, rules.setbacks.easement, half);
    for (auto& obstacle : all) {
        // The outer corner of a bend of 90 degrees reaches beyond the trench's edge by less than half its width.
        const double corner_m = obstacle.waiver == Waiver::at_lot_end ? half : 0;
        obstacle.reach = grown(box_of(obstacle.shape), obstacle.clearance_m + corner_m);
    }
    return all;
}

double distance_m(const Polyline& line, const Obstacle& obstacle)
{
    return place_distance_m(line, obstacle.shape);
}

double distance_m(const Point& p, const Obstacle& obstacle)
{
    return place_distance_m(p, obstacle.shape);
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
    if (rules.outside_lot == OutsideLot::not_neighbors) {
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
