#include "trenchwright/plan/yard.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double shortest_wall_m = 1; // a jog or a chimney says nothing of a wall's grade

/// Where the trench along the footing inside lies below the footing's line.
std::vector<PlaceOver> inside_wedge(const PlanBasis& basis)
{
    const auto& rules = basis.job.rules;
    std::vector<PlaceOver> places;
    for (const auto& run : basis.footing->runs) {
        const Polyline line{run.low, run.top};
        const std::vector<GradePoint> bottom{
            {.station_m = 0, .invert_elev_m = *basis.job.floor_elev_m - run.low_depth_m},
            {.station_m = length_m(line), .invert_elev_m = *basis.job.floor_elev_m - run.top_depth_m}};
        for (const auto& over : wedge_breaches(line, rules.footing.trench_width_m, bottom, basis.site.foundations,
                                               *basis.footing_edge, rules.safety.wedge_ratio)) {
            places.push_back({.at = point_at(line, over.max_station_m), .over_m = over.max_m});
        }
    }
    return places;
}

Ground proposed_ground(const Site& site)
{
    std::vector<Point3> spots;
    for (const auto& spot : site.proposed_spots) {
        spots.push_back({.x_m = spot.at.x_m, .y_m = spot.at.y_m, .elev_m = spot.elev_m});
    }
    try {
        return Ground::from_spots(spots, {});
    } catch (const Error& error) {
        throw Error(error.kind(), std::string("proposed_spots: ") + error.what());
    }
}

void add_inside_findings(std::vector<Finding>& findings, const PlanBasis& basis, const YardWork& yard)
{
    if (yard.inside_wedge.empty()) {
        return;
    }
    const auto worst = std::ranges::max_element(yard.inside_wedge, {}, &PlaceOver::over_m);
    findings.push_back(finding(
        Severity::stop, "wedge.side_per_depth",
        fmt::format("The trench along the footing inside goes below the line from the footing's bottom edge, by {} at "
                    "the worst place. Make it shallower, move it away from the footing, or have an engineer decide.",
                    depth_text(worst->over_m, basis.job.rules.units)),
        worst->at));
}

void add_wall_findings(std::vector<Finding>& findings, const PlanBasis& basis, const YardWork& yard)
{
    const auto& rules = basis.job.rules;
    const WallGrade* worst = nullptr;
    int flat = 0;
    int unknown = 0;
    for (const auto& wall : yard.walls) {
        if (!wall.min_fall_m) {
            ++unknown;
        } else if (*wall.min_fall_m < rules.safety.house_fall_m) {
            ++flat;
            worst = worst == nullptr || *wall.min_fall_m < *worst->min_fall_m ? &wall : worst;
        }
    }
    const auto asked = depth_text(rules.safety.house_fall_m, rules.units);
    const auto reach = length_text(rules.safety.house_reach_m, rules.units);
    const auto* const surface = yard.walls_proposed ? "proposed ground" : "ground as it is";
    if (flat > 0) {
        findings.push_back(finding(
            Severity::note, "yard.house_fall",
            fmt::format("The {} falls less than {} in {} away from {} of {} walls; minimum {} (below 0: toward the "
                        "house). Where a lot line or a slope leaves no room, swales or drains stand in for it.",
                        surface, asked, reach, flat, yard.walls.size(), small_text(*worst->min_fall_m, rules.units)),
            worst->min_at));
    }
    if (unknown > 0) {
        findings.push_back(finding(Severity::note, "yard.house_fall",
                                   fmt::format("The fall of the {} away from {} of {} walls is not known: no heights "
                                               "along the wall or {} out.",
                                               surface, unknown, yard.walls.size(), reach),
                                   {}));
    }
}

double spread_loose_m3(const OutletOutcome& outcome)
{
    double loose = 0;
    for (const auto* trench : trenches_of(&outcome)) {
        loose += trench->measured.quantities.haul_loose_m3;
    }
    return loose;
}

} // namespace

YardOutcome yard_work(const PlanBasis& basis, const Facets& facets)
{
    const auto& rules = basis.job.rules;
    YardOutcome outcome;
    auto& yard = outcome.work;
    const auto walls_on = [&](const Ground& ground) {
        return grade_away(ground, basis.site.foundations, rules.safety.house_reach_m, rules.route.cell_m,
                          shortest_wall_m);
    };
    if (basis.site.proposed_spots.empty()) {
        yard.walls = walls_on(basis.ground);
    } else {
        const auto proposed = proposed_ground(basis.site);
        yard.grading = cut_and_fill(facets, facets_of(proposed), basis.site.foundations);
        yard.walls = walls_on(proposed);
        yard.walls_proposed = true;
        outcome.doubts = proposed.findings();
        for (auto& doubt : outcome.doubts) {
            doubt.text = "Proposed spots: " + doubt.text;
        }
    }
    for (const auto& area : basis.site.spread_areas) {
        yard.spread_m2 += area_m2(area);
    }
    yard.inside_checked =
        basis.footing && basis.footing_edge && basis.footing_edge->inner_edge_m && basis.job.floor_elev_m;
    if (yard.inside_checked) {
        yard.inside_wedge = inside_wedge(basis);
    }
    return outcome;
}

std::vector<Finding> yard_findings(const PlanBasis& basis, const YardWork& yard)
{
    std::vector<Finding> findings;
    add_inside_findings(findings, basis, yard);
    add_wall_findings(findings, basis, yard);
    if (basis.job.footing && !basis.footing_edge) {
        findings.push_back(finding(Severity::warning, "wedge.side_per_depth",
                                   "The footing's depth is given from the ground outside, but the ground is not known "
                                   "all along the foundation: the footing is not checked.",
                                   {}));
    }
    if (!basis.job.footing && !basis.site.foundations.empty()) {
        findings.push_back(finding(Severity::note, "wedge.side_per_depth",
                                   "The depth of the footing is not supplied ([footing] in the job file): no trench is "
                                   "checked against it.",
                                   {}));
    }
    return findings;
}

SpreadDirt spread_of(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& soil = plan.job.rules.soil;
    SpreadDirt spread{.area_m2 = plan.yard.spread_m2, .loose_m3 = spread_loose_m3(outcome)};
    if (spread.area_m2 > 0) {
        spread.loose_m = spread.loose_m3 / spread.area_m2;
        spread.settled_m = spread.loose_m / (1 + soil.swell_ratio) * (1 - soil.shrink_ratio);
    }
    return spread;
}

} // namespace trenchwright
