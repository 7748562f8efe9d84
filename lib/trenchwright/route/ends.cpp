#include "trenchwright/route/ends.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/obstacles.hpp"
#include "trenchwright/route/outlet_bar.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <map>

namespace trenchwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

Refusal refusal_at(RefusalKind kind, std::string text, const Point& p, std::optional<double> short_by_m)
{
    return {.kind = kind, .text = std::move(text), .at = p, .station_m = std::nullopt, .short_by_m = short_by_m};
}

/// Refusal when p lies nearer to one of the areas (or their rings) than the outlet's record asks.
template <class Distance>
std::optional<Refusal> too_near(const std::optional<double>& setback_m, const std::vector<Polygon>& areas,
                                std::string_view what, const Point& p, UnitSystem units, Distance distance)
{
    if (!setback_m) {
        return std::nullopt;
    }
    double away = infinity;
    for (const auto& area : areas) {
        away = std::min(away, distance(p, area));
    }
    if (away >= *setback_m) {
        return std::nullopt;
    }
    return refusal_at(RefusalKind::setback,
                      fmt::format("lies {} from the {}; its record requires {}", length_text(away, units), what,
                                  length_text(*setback_m, units)),
                      p, *setback_m - away);
}

std::optional<Refusal> setback_refusal(const Site& site, const Outlet& outlet, const Point& p, UnitSystem units)
{
    const auto from_area = [](const Point& q, const Polygon& area) { return distance_m(q, area); };
    const auto from_ring = [](const Point& q, const Polygon& area) { return boundary_distance_m(q, area); };
    if (auto refusal = too_near(outlet.setback_foundation_m, site.foundations, "foundation", p, units, from_area)) {
        return refusal;
    }
    if (auto refusal = too_near(outlet.setback_foundation_m, site.neighbor_buildings, "neighbor's building", p, units,
                                from_area)) {
        return refusal;
    }
    if (auto refusal = too_near(outlet.setback_lot_line_m, site.parcel, "lot line", p, units, from_ring)) {
        return refusal;
    }
    return too_near(outlet.setback_street_m, site.right_of_way, "right-of-way", p, units, from_area);
}

/// Lowest invert by kind, where the record gives none.
std::optional<double> lowest_invert_m(const Outlet& outlet, double ground_elev_m, const RouteRules& rules)
{
    if (outlet.lowest_invert_elev_m) {
        return outlet.lowest_invert_elev_m;
    }
    switch (outlet.kind) {
    case OutletKind::curb: return outlet.gutter_elev_m;
    case OutletKind::popup: return ground_elev_m - rules.popup_drop_m;
    case OutletKind::swale: return ground_elev_m;
    case OutletKind::inlet: return std::nullopt;
    }
    return std::nullopt;
}

/// Of the pipe where it ends: in a curb it may be a smaller one.
TrenchSection end_section(const Outlet& outlet, const RouteRules& rules)
{
    auto section = rules.section;
    if (outlet.kind == OutletKind::curb && rules.curb_pipe) {
        section.outside_diameter_m = rules.curb_pipe->outside_diameter_m;
        section.wall_m = rules.curb_pipe->wall_m;
    }
    return section;
}

/// Highest invert by record, by the curb's top and by the cover at the end.
double highest_invert_m(const Site& site, const Outlet& outlet, double ground_elev_m, const Point& p,
                        const RouteRules& rules)
{
    double highest = outlet.highest_invert_elev_m.value_or(infinity);
    if (outlet.kind == OutletKind::curb) {
        if (outlet.curb_top_elev_m) {
            highest = std::min(
                highest,
                end_section(outlet, rules).invert_for_cover_m(*outlet.curb_top_elev_m, rules.curb_clearance_m));
        }
        return highest; // in the curb the clearance under its top stands in for cover
    }
    const double cover_m = cover_at(site, outlet, p, rules).cover_m;
    return std::min(highest, rules.section.invert_for_cover_m(ground_elev_m, cover_m));
}

/// A swale is met where the pipe comes to daylight, which it cannot do under paving.
std::optional<Refusal> under_paving(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules,
                                    UnitSystem units)
{
    if (outlet.kind != OutletKind::swale) {
        return std::nullopt;
    }
    const auto cover = cover_at(site, outlet, p, rules);
    const auto rule = rules.surfaces.find(cover.kind);
    if (rule == rules.surfaces.end() || !paved(rule->second)) {
        return std::nullopt;
    }
    return refusal_at(RefusalKind::unlawful_place,
                      fmt::format("lies under {0}: the pipe cannot come to daylight there, since {1} is kept. Let the "
                                  "outlet end beside the {0}",
                                  display_name(cover.kind), cover_words(cover, rules, units)),
                      p, std::nullopt);
}

/// Refusal when p lies nearer to the lot line than a hard setback asks of every trench.
std::optional<Refusal> hard_setback_refusal(const std::vector<Obstacle>& edges, const Point& p, UnitSystem units)
{
    for (const auto& edge : edges) {
        const double away = distance_m(p, edge);
        if (away < edge.edge_m) {
            return refusal_at(RefusalKind::setback,
                              fmt::format("lies {} from the {}; {} is required of the trench's edge, and "
                                          "setbacks.lot_line is hard",
                                          depth_text(away, units), edge.name, depth_text(edge.edge_m, units)),
                              p, edge.edge_m - away);
        }
    }
    return std::nullopt;
}

/// The edges that a hard setback keeps every trench from.
std::vector<Obstacle> hard_edges(const Site& site, const RouteRules& rules)
{
    auto all = rules.setbacks.lot_line.hard ? obstacles(site, rules) : std::vector<Obstacle>{};
    std::erase_if(all, [](const Obstacle& obstacle) { return !(obstacle.edge_m > 0); });
    return all;
}

std::vector<Point> along_line(const Polyline& line, double spacing_m)
{
    const double length = length_m(line);
    const auto count = std::max(1, static_cast<int>(std::ceil(length / spacing_m)));
    std::vector<Point> points;
    for (int i = 0; i <= count; ++i) {
        points.push_back(point_at(line, length * i / count));
    }
    return points;
}

std::vector<Point> over_area(const Polygon& area, double spacing_m)
{
    const Box box = bounds(area.outer);
    std::vector<Point> points = along_line(closed(area.outer), spacing_m);
    for (double y = box.min_y_m + spacing_m / 2; y < box.max_y_m; y += spacing_m) {
        for (double x = box.min_x_m + spacing_m / 2; x < box.max_x_m; x += spacing_m) {
            if (contains(area, {.x_m = x, .y_m = y})) {
                points.push_back({.x_m = x, .y_m = y});
            }
        }
    }
    return points;
}

std::vector<Point> places_of(const Outlet& outlet, double spacing_m)
{
    if (const auto* p = std::get_if<Point>(&outlet.place)) {
        return {*p};
    }
    if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
        return along_line(*line, spacing_m);
    }
    return over_area(std::get<Polygon>(outlet.place), spacing_m);
}

/// A pop-up or the tie to an inlet, in the gap that structures keep to marks.
bool crowds_mark(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules)
{
    const bool structure = outlet.kind == OutletKind::popup || outlet.kind == OutletKind::inlet;
    return structure && !std::holds_alternative<Point>(outlet.place) && mark_in_reach(site, p, rules) != nullptr;
}

} // namespace

Point nearest_of_outlet(const Outlet& outlet, const Point& p)
{
    if (const auto* point = std::get_if<Point>(&outlet.place)) {
        return *point;
    }
    if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
        return point_at(*line, station_of(*line, p));
    }
    const auto& area = std::get<Polygon>(outlet.place);
    const Polyline ring = closed(area.outer);
    return contains(area, p) ? p : point_at(ring, station_of(ring, p));
}

std::variant<EndPoint, Refusal> end_at(const Site& site, const Ground& ground, const Outlet& outlet,
                                       const RouteRules& rules, const Point& p, UnitSystem units)
{
    if (auto refusal = outlet_bar(site, outlet, p, rules, units)) {
        return *std::move(refusal);
    }
    if (auto refusal = under_paving(site, outlet, p, rules, units)) {
        return *std::move(refusal);
    }
    if (const double outside = outside_lot_by_m(site, p, rules); outside > 0) {
        return refusal_at(
            RefusalKind::blocked,
            fmt::format("lies {} outside the lot and the right-of-way supplied", length_text(outside, units)), p,
            outside);
    }
    if (auto refusal = setback_refusal(site, outlet, p, units)) {
        return *std::move(refusal);
    }
    const auto ground_elev = ground.elev_m(p);
    if (!ground_elev) {
        const double away = ground.outside_by_m(p);
        return refusal_at(
            RefusalKind::no_ground,
            fmt::format("lies {} outside the surveyed ground; shoot one more point there", length_text(away, units)), p,
            away);
    }
    const auto stated = lowest_invert_m(outlet, *ground_elev, rules);
    if (!stated) {
        return refusal_at(RefusalKind::no_ground,
                          outlet.kind == OutletKind::curb ? "has no gutter elevation and no lowest invert; measure one"
                                                          : "has no lowest invert; measure it",
                          p, std::nullopt);
    }
    const double lowest = *stated - rules.outlet_lowered_m;
    const double highest = highest_invert_m(site, outlet, *ground_elev, p, rules);
    if (!(lowest <= highest)) {
        return refusal_at(RefusalKind::pipe_too_large,
                          fmt::format("pipe of {} outside diameter does not fit: {} too high between the lowest "
                                      "invert {} and the highest {}",
                                      small_text(end_section(outlet, rules).outside_diameter_m, units),
                                      small_text(lowest - highest, units), elev_text(lowest, units),
                                      elev_text(highest, units)),
                          p, lowest - highest);
    }
    return EndPoint{.at = p, .lowest_invert_elev_m = lowest, .highest_invert_elev_m = highest};
}

std::optional<EndPoint> end_near(const Site& site, const Ground& ground, const Outlet& outlet, const RouteRules& rules,
                                 const Point& p, double reserve_m, UnitSystem units)
{
    auto outcome = end_at(site, ground, outlet, rules, nearest_of_outlet(outlet, p), units);
    auto* end = std::get_if<EndPoint>(&outcome);
    if (end == nullptr || crowds_mark(site, outlet, end->at, rules)) {
        return std::nullopt;
    }
    end->reserve_m = reserve_m;
    return *end;
}

std::variant<std::vector<EndPoint>, Refusal> ends_of(const Site& site, const Ground& ground, const Outlet& outlet,
                                                     const RouteRules& rules, double spacing_m, UnitSystem units)
{
    std::vector<EndPoint> ends;
    std::vector<EndPoint> crowded; // used only where there is no other place
    std::map<RefusalKind, std::pair<int, Refusal>> refusals;
    const auto edges = hard_edges(site, rules);
    for (const auto& p : places_of(outlet, spacing_m)) {
        auto outcome = end_at(site, ground, outlet, rules, p, units);
        if (auto refusal = hard_setback_refusal(edges, p, units)) {
            outcome = *std::move(refusal);
        }
        if (const auto* end = std::get_if<EndPoint>(&outcome)) {
            (crowds_mark(site, outlet, p, rules) ? crowded : ends).push_back(*end);
            continue;
        }
        auto& refusal = std::get<Refusal>(outcome);
        auto& [count, nearest] = refusals[refusal.kind];
        const bool better = count == 0 || refusal.short_by_m.value_or(0) < nearest.short_by_m.value_or(0);
        ++count;
        if (better) {
            nearest = std::move(refusal);
        }
    }
    if (!ends.empty() || !crowded.empty()) {
        return ends.empty() ? crowded : ends;
    }
    const auto most = std::max_element(refusals.begin(), refusals.end(),
                                       [](const auto& a, const auto& b) { return a.second.first < b.second.first; });
    return most->second.second;
}

} // namespace trenchwright
