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
                  double required_m, double snap_m)
{
    for (const auto& reserve : reserves) {
        const double away = place_distance_m(way, reserve.place);
        const bool enters = away <= snap_m;
        if (enters || away < required_m) {
            aim.reserves.push_back(
                {.kind = kind, .id = reserve.id, .away_m = away, .required_m = required_m, .enters = enters});
        }
    }
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
    const auto findings = safety_findings(basis, trench);
    trench.findings.insert(trench.findings.end(), findings.begin(), findings.end());
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
        add_reserves(aim, line, site.septic, "septic part", asked.septic.distance_m, snap_m);
        add_reserves(aim, line, site.wells, "well", asked.well.distance_m, snap_m);
    }
    aim.length_m = line.size() > 1 ? stays_until_m(line, site.parcel, snap_m) : 0;
    const bool in_our_lot = away_m(site.parcel, outlet) <= snap_m;
    if (in_our_lot && aim.length_m >= whole_m - snap_m) {
        aim.length_m = whole_m;
        const bool ends_here = way->end == FallEnd::low_spot || way->end == FallEnd::level;
        aim.target = ends_here ? AimTarget::stays_inside : AimTarget::unknown;
        return aim;
    }
    aim.leaves_at = line.size() > 1 ? point_at(line, aim.length_m) : outlet;
    name_target(aim, site, line.size() > 1 ? point_at(line, std::min(whole_m, aim.length_m + snap_m)) : outlet, snap_m);
    cut_way(aim.way, line, aim.length_m);
    return aim;
}

OutletOutcome with_safety(OutletOutcome outcome, const PlanBasis& basis, const Facets& facets)
{
    for (auto& by : outcome.by_source) {
        if (auto* trench = std::get_if<TrenchPlan>(&by)) {
            add_one(basis, *trench, facets);
        }
    }
    return outcome;
}

} // namespace trenchwright
