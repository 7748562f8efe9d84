#include "trenchwright/plan/safety.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/protection.hpp"
#include "trenchwright/plan/safety_findings.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

/// The highest ground along the outlines; nothing where some of it is not known.
std::optional<double> highest_along_m(const Ground& ground, const std::vector<Polygon>& foundations, double step_m)
{
    std::optional<double> highest;
    for (const auto& foundation : foundations) {
        const auto along = ground.along(closed(foundation.outer), step_m);
        if (!along) {
            return std::nullopt;
        }
        for (const auto& p : *along) {
            highest = std::max(highest.value_or(p.elev_m), p.elev_m);
        }
    }
    return highest;
}

Polyline seen_from_above(const std::vector<Point3>& points)
{
    Polyline line;
    for (const auto& p : points) {
        line.push_back(flat(p));
    }
    return line;
}

/// How far along its way the water stays on our lot.
double stays_until_m(const Polyline& way, const std::vector<Polygon>& parcel, double snap_m)
{
    std::vector<Interval> spans;
    for (const auto& lot : parcel) {
        const auto inside = spans_inside(way, lot);
        spans.insert(spans.end(), inside.begin(), inside.end());
    }
    spans = merged(std::move(spans));
    return spans.empty() || spans.front().from_m > snap_m ? 0 : spans.front().to_m;
}

double away_m(const std::vector<Polygon>& areas, const Point& p)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto& area : areas) {
        least = std::min(least, distance_m(p, area));
    }
    return least;
}

/// Whose ground lies past the edge of our lot.
void name_target(OutletAim& aim, const Site& site, const Point& beyond, double snap_m)
{
    if (away_m(site.right_of_way, beyond) <= snap_m) {
        aim.target = AimTarget::street;
        return;
    }
    aim.target = AimTarget::other_side;
    for (std::size_t i = 0; i < site.neighbors.size(); ++i) {
        if (distance_m(beyond, site.neighbors[i]) <= snap_m) {
            aim.target = AimTarget::neighbor;
            aim.neighbor = i < site.neighbor_ids.size() ? site.neighbor_ids[i] : "";
            return;
        }
    }
}

/// The way down to a length along it.
void cut_way(FallLine& way, const Polyline& line, double length_along_m)
{
    double station = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        if (station + run >= length_along_m) {
            const double share = run > 0 ? (length_along_m - station) / run : 0;
            const auto at = point_at(line, length_along_m);
            const double fall = way.points[i].elev_m - way.points[i - 1].elev_m;
            way.points[i] = {.x_m = at.x_m, .y_m = at.y_m, .elev_m = way.points[i - 1].elev_m + share * fall};
            way.points.resize(i + 1);
            return;
        }
        station += run;
    }
}

/// What of the wells or septic parts the way runs over or comes nearer to than their setback.
void add_reserves(OutletAim& aim, const Polyline& way, const std::vector<Reserve>& reserves, const std::string& kind,
                  const SetbackRule& rule, bool circle_barred, double snap_m)
{
    for (const auto& reserve : reserves) {
        const double away = place_distance_m(way, reserve.place);
        const bool enters = away <= snap_m;
        if (enters || away < rule.distance_m) {
            aim.reserves.push_back({.kind = kind,
                                    .id = reserve.id,
                                    .away_m = away,
                                    .required_m = rule.distance_m,
                                    .enters = enters,
                                    .barred = enters || (circle_barred && rule.hard)});
        }
    }
}

void add_buildings(OutletAim& aim, const Polyline& way, const std::vector<Polygon>& buildings,
                   const std::vector<std::string>& ids, bool ours, double required_m)
{
    const auto reach = grown(bounds(way), required_m);
    for (std::size_t i = 0; i < buildings.size(); ++i) {
        if (!overlap(reach, bounds(buildings[i].outer))) {
            continue;
        }
        if (const double away = distance_m(way, buildings[i]); away < required_m) {
            aim.buildings.push_back({.ours = ours, .id = i < ids.size() ? ids[i] : std::string(), .away_m = away});
        }
    }
}

/// Of the way as far as it was kept.
double fall_of(const OutletAim& aim)
{
    const auto& points = aim.way.points;
    const double length = points.empty() ? 0 : length_m(seen_from_above(points));
    return length > 0 ? (points.front().elev_m - points.back().elev_m) / length : 0;
}

bool lets_water_out_on_the_ground(const Outlet& outlet)
{
    return outlet.kind == OutletKind::popup || outlet.kind == OutletKind::swale;
}

void add_one(const PlanBasis& basis, TrenchPlan& trench, const Facets& facets)
{
    const auto& rules = basis.job.rules;
    const auto& line = trench.line.route.line;
    const auto& section = trench.laid.problem.section;
    auto& safety = trench.safety;
    RouteRules route = rules.route;
    route.section = section; // a pump's line has its own
    const auto cuts = runs_of_trench(trench);
    safety.spoil = spoil_room(line, cuts, objects_beside(basis.site, route, words_of(rules.safety.spoil_off)),
                              heap_of(trench, rules));
    if (basis.footing_edge) {
        std::vector<GradePoint> bottom = trench.laid.profile.points;
        for (auto& p : bottom) {
            p.invert_elev_m -= section.wall_m + section.bedding_m;
        }
        safety.wedge = wedge_breaches(line, section.width_m, bottom, basis.site.foundations, *basis.footing_edge,
                                      rules.safety.wedge_ratio);
    }
    safety.trees = tree_checks(basis.site, line, route, rules.safety.trees.hold_factor);
    safety.setbacks = setback_checks(basis.site, line, route);
    safety.street = inside_right_of_way(basis.site, line, rules.route.restore_width_m);
    safety.easements = inside_easements(basis.site, line, rules.route.restore_width_m);
    if (!trench.joins && lets_water_out_on_the_ground(basis.site.outlets[trench.outlet])) {
        safety.aim = outlet_aim(facets, basis.site, line.front(), rules);
    }
}

/// Whether a trench lets its water out onto that neighbor's lot, on its own or through the one it joins.
bool runs_onto(const OutletOutcome& outcome, const TrenchPlan& trench, const std::string& neighbor)
{
    const auto& aim = trunk_of(outcome, trench).safety.aim;
    return aim && aim->target == AimTarget::neighbor && aim->neighbor == neighbor;
}

/// How far it is to run grows with the flow and with the fall of the ground, each beyond what the plain distance is
/// enough for.
double required_before_neighbor_m(double flow_m3ps, double fall_ratio, const SafetyRules& rules)
{
    return rules.neighbor_aim_m * std::max(1.0, flow_m3ps / rules.neighbor_aim_flow_m3ps) *
           std::max(1.0, fall_ratio / rules.steep_ground_ratio);
}

NeighborWater water_onto(const OutletOutcome& outcome, const OutletAim& aim, const PlanBasis& basis)
{
    const auto& rules = basis.job.rules.safety;
    NeighborWater water;
    double known_m3ps = 0;
    for (const auto* trench : trenches_of(&outcome)) {
        if (runs_onto(outcome, *trench, aim.neighbor)) {
            const auto sent = trench->water.sent_m3ps;
            ++water.sources;
            water.unknown_sources += sent ? 0 : 1;
            known_m3ps += sent.value_or(0);
        }
    }
    water.flow_m3ps = water.unknown_sources == 0 ? std::optional(known_m3ps) : std::nullopt;
    water.counted_m3ps = known_m3ps + static_cast<double>(water.unknown_sources) * rules.neighbor_aim_flow_m3ps;
    water.required_m = required_before_neighbor_m(water.counted_m3ps, aim.fall_ratio, rules);
    return water;
}

} // namespace

std::optional<FootingEdge> footing_edge(const Job& job, const Site& site, const Ground& ground)
{
    if (!job.footing) {
        return std::nullopt;
    }
    const auto& stated = *job.footing;
    FootingEdge edge{.bottom_elev_m = stated.bottom_elev_m.value_or(0),
                     .outer_edge_m = stated.outer_edge_m,
                     .inner_edge_m = stated.inner_edge_m};
    if (stated.below_floor_m) {
        if (!job.floor_elev_m) {
            throw Error(ErrorKind::input, job.file.string() + ": footing.below_floor: needs [inside] floor");
        }
        edge.bottom_elev_m = *job.floor_elev_m - *stated.below_floor_m;
    }
    if (stated.below_ground_m) {
        const auto highest = highest_along_m(ground, site.foundations, job.rules.route.cell_m);
        if (!highest) {
            return std::nullopt;
        }
        edge.bottom_elev_m = *highest - *stated.below_ground_m;
    }
    return edge;
}

OutletAim outlet_aim(const Facets& facets, const Site& site, const Point& outlet, const Rules& rules)
{
    OutletAim aim;
    if (!site.neighbors.empty()) {
        aim.neighbor_away_m = away_m(site.neighbors, outlet);
    }
    const auto way = fall_line(facets, outlet);
    if (!way) {
        return aim;
    }
    aim.way = *way;
    const double snap_m = rules.route.boundary_snap_m;
    const auto line = seen_from_above(way->points);
    const double whole_m = length_m(line);
    for (const auto& kind : words_of(rules.safety.walks)) {
        const bool crossed = std::ranges::any_of(site.surfaces, [&](const SurfacePatch& patch) {
            return patch.kind == kind && line.size() > 1 && total_m(spans_inside(line, patch.area)) > snap_m;
        });
        if (crossed) {
            aim.walks.push_back(display_name(kind));
        }
    }
    if (line.size() > 1) {
        const auto& asked = rules.route.setbacks;
        add_reserves(aim, line, site.septic, "septic part", asked.septic, false, snap_m);
        add_reserves(aim, line, site.wells, "well", asked.well, true, snap_m);
        add_buildings(aim, line, site.foundations, site.foundation_ids, true, rules.safety.building_aim_m);
        add_buildings(aim, line, site.neighbor_buildings, site.neighbor_building_ids, false,
                      rules.safety.building_aim_m);
    }
    aim.length_m = line.size() > 1 ? stays_until_m(line, site.parcel, snap_m) : 0;
    const bool in_our_lot = away_m(site.parcel, outlet) <= snap_m;
    if (in_our_lot && aim.length_m >= whole_m - snap_m) {
        aim.length_m = whole_m;
        const bool ends_here = way->end == FallEnd::low_spot || way->end == FallEnd::level;
        aim.target = ends_here ? AimTarget::stays_inside : AimTarget::unknown;
        aim.fall_ratio = fall_of(aim);
        return aim;
    }
    aim.leaves_at = line.size() > 1 ? point_at(line, aim.length_m) : outlet;
    name_target(aim, site, line.size() > 1 ? point_at(line, std::min(whole_m, aim.length_m + snap_m)) : outlet, snap_m);
    cut_way(aim.way, line, aim.length_m);
    aim.fall_ratio = fall_of(aim);
    return aim;
}

OutletOutcome with_safety(OutletOutcome outcome, const PlanBasis& basis, const Facets& facets)
{
    const auto each = [&](auto work) {
        for (auto& by : outcome.by_source) {
            if (auto* trench = std::get_if<TrenchPlan>(&by)) {
                work(*trench);
            }
        }
    };
    each([&](TrenchPlan& trench) { add_one(basis, trench, facets); });
    each([&](TrenchPlan& trench) {
        if (trench.safety.aim && trench.safety.aim->target == AimTarget::neighbor) {
            trench.safety.aim->to_neighbor = water_onto(outcome, *trench.safety.aim, basis);
        }
        const auto findings = safety_findings(basis, trench);
        trench.findings.insert(trench.findings.end(), findings.begin(), findings.end());
    });
    return outcome;
}

} // namespace trenchwright
