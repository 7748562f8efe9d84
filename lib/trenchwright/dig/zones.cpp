#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/clearance.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"
#include "trenchwright/geom/stretch.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <tuple>

namespace trenchwright {

namespace {

/// A stretch near one mark or one tree.
struct Stretch {
    Interval span;
    bool tree = false;
    std::size_t index = 0;
};

void add_stretches(std::vector<Stretch>& all, const std::vector<Interval>& spans, bool tree, std::size_t index)
{
    for (const auto& span : spans) {
        all.push_back({.span = span, .tree = tree, .index = index});
    }
}

/// Each index once, ascending.
void add_index(std::vector<std::size_t>& indices, std::size_t index)
{
    const auto place = std::lower_bound(indices.begin(), indices.end(), index);
    if (place == indices.end() || *place != index) {
        indices.insert(place, index);
    }
}

/// Zones about the stretches, as rounded out as the hand-dig stretches that the route is weighed by.
std::vector<HandDigZone> joined(const std::vector<Stretch>& stretches, double min_m, double length_m)
{
    std::vector<Interval> spans;
    for (const auto& stretch : stretches) {
        spans.push_back(stretch.span);
    }
    std::vector<HandDigZone> zones;
    for (const auto& span : rounded_out(std::move(spans), min_m, length_m)) {
        zones.push_back({.span = span, .marks = {}, .trees = {}, .volume_m3 = 0});
    }
    for (const auto& stretch : stretches) {
        const auto zone = std::find_if(zones.begin(), zones.end(), [&](const HandDigZone& z) {
            return z.span.from_m <= stretch.span.from_m && stretch.span.to_m <= z.span.to_m;
        });
        add_index(stretch.tree ? zone->trees : zone->marks, stretch.index);
    }
    return zones;
}

void check_rules(const RouteRules& rules)
{
    const auto require = [](bool holds, const char* name, double value) {
        if (!holds) {
            throw Error(ErrorKind::internal, fmt::format("hand dig: {} must be 0 or more, is {}", name, value));
        }
    };
    require(rules.section.width_m >= 0, "trench width", rules.section.width_m);
    require(rules.tolerance_m >= 0, "tolerance", rules.tolerance_m);
    require(rules.tree_factor >= 0, "tree factor", rules.tree_factor);
}

/// A reach that is no number would find nothing and read as clear ground.
double checked_reach_m(double reach_m, std::string_view what, std::size_t index)
{
    const bool usable = reach_m >= 0 && std::isfinite(reach_m);
    if (!usable) {
        throw Error(ErrorKind::internal, fmt::format("hand dig: reach of {} {} is {} m", what, index, reach_m));
    }
    return reach_m;
}

/// The mark's own stretch that holds the crossing.
Interval stretch_around(const Mark& mark, const Polyline& line, double station_m, const RouteRules& rules)
{
    Interval nearest{station_m, station_m};
    double gap = std::numeric_limits<double>::infinity();
    for (const auto& span : strip_spans_within(line, rules.section.width_m, mark.line, hand_dig_reach_m(mark, rules))) {
        const double off = std::max({span.from_m - station_m, station_m - span.to_m, 0.0});
        if (off < gap) {
            gap = off;
            nearest = span;
        }
    }
    return nearest;
}

} // namespace

std::vector<MarkStretch> mark_stretches(const Site& site, const Polyline& line, const RouteRules& rules)
{
    check_rules(rules);
    std::vector<MarkStretch> stretches;
    for (std::size_t i = 0; i < site.marks.size(); ++i) {
        const double reach = checked_reach_m(hand_dig_reach_m(site.marks[i], rules), "mark", i);
        for (const auto& span : strip_spans_within(line, rules.section.width_m, site.marks[i].line, reach)) {
            stretches.push_back({.mark = i, .span = span});
        }
    }
    return stretches;
}

std::vector<Polygon> trench_area(const Polyline& line, const Interval& span, double width_m)
{
    return span.to_m > span.from_m ? strip_around(stretch_of(line, span), width_m) : std::vector<Polygon>{};
}

std::vector<HandDigZone> hand_dig_zones(const Site& site, const Polyline& line, const RouteRules& rules)
{
    std::vector<Stretch> stretches;
    for (const auto& [mark, span] : mark_stretches(site, line, rules)) {
        stretches.push_back({.span = span, .tree = false, .index = mark});
    }
    for (std::size_t i = 0; i < site.trees.size(); ++i) {
        const double radius = checked_reach_m(rules.tree_factor * site.trees[i].trunk_diameter_m, "tree", i);
        add_stretches(stretches, strip_spans_within(line, rules.section.width_m, site.trees[i].at, radius), true, i);
    }
    return joined(stretches, rules.section.width_m, length_m(line));
}

std::vector<Crossing> crossings_along(const Site& site, const Polyline& line, const ProfileProblem& problem,
                                      const Profile& profile, const RouteRules& rules)
{
    std::vector<Crossing> result;
    for (std::size_t i = 0; i < site.marks.size(); ++i) {
        const Mark& mark = site.marks[i];
        for (const auto& met : crossings(line, mark.line)) {
            const double ground = ground_at_m(problem.ground, met.station_m);
            const double invert = invert_at_m(profile.points, met.station_m);
            Crossing crossing;
            crossing.mark = i;
            crossing.station_m = met.station_m;
            crossing.angle_rad = met.angle_rad;
            crossing.at = met.at;
            crossing.ground_elev_m = ground;
            if (depth_known(mark)) {
                crossing.facility_top_elev_m = ground - *mark.exposed_depth_m;
            }
            crossing.trench_bottom_elev_m = invert - problem.section.wall_m - problem.section.bedding_m;
            crossing.pipe_top_elev_m = invert - problem.section.wall_m + problem.section.outside_diameter_m;
            crossing.hand_span = stretch_around(mark, line, met.station_m, rules);
            crossing.formula_length_m =
                hand_dig_length_m(mark.width_m.value_or(0), rules.tolerance_m + mark.position_accuracy_m.value_or(0),
                                  rules.section.width_m, met.angle_rad);
            result.push_back(crossing);
        }
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const auto& a, const auto& b) { return a.station_m < b.station_m; });
    return result;
}

double hand_dig_length_m(double facility_width_m, double tolerance_m, double trench_width_m, double angle_rad)
{
    const bool crosses = angle_rad > 0 && angle_rad <= std::numbers::pi / 2;
    const bool sizes = facility_width_m >= 0 && tolerance_m >= 0 && trench_width_m >= 0;
    if (!crosses || !sizes) {
        throw Error(ErrorKind::internal,
                    fmt::format("hand dig length: width {} m, tolerance {} m, trench {} m, angle {} rad",
                                facility_width_m, tolerance_m, trench_width_m, angle_rad));
    }
    return (facility_width_m + 2 * tolerance_m) / std::sin(angle_rad) + trench_width_m / std::tan(angle_rad);
}

} // namespace trenchwright
