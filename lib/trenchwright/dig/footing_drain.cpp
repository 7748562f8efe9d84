#include "trenchwright/dig/footing_drain.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/footing_paths.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

void require_in_range(const FootingRules& rules, const SoilRules& soil)
{
    const auto need = [](bool fine, std::string_view what, double value) {
        if (!fine) {
            throw Error(ErrorKind::internal, fmt::format("footing drain: {} {} is out of range", what, value));
        }
    };
    need(rules.outside_diameter_m > 0, "outside diameter", rules.outside_diameter_m);
    need(rules.wall_m >= 0 && 2 * rules.wall_m < rules.outside_diameter_m, "wall", rules.wall_m);
    need(rules.trench_width_m >= rules.outside_diameter_m, "trench width", rules.trench_width_m);
    need(rules.stone_under_m >= 0, "stone under the pipe", rules.stone_under_m);
    need(rules.stone_over_m >= 0, "stone over the pipe", rules.stone_over_m);
    const double stone_m = rules.stone_under_m + rules.outside_diameter_m + rules.stone_over_m;
    need(rules.trench_depth_m >= stone_m - 1e-9, "trench depth", rules.trench_depth_m);
    need(rules.min_fall_ratio >= 0 && rules.min_fall_ratio < 1, "least fall", rules.min_fall_ratio);
    need(rules.join_reach_m >= 0, "reach of a joint", rules.join_reach_m);
    need(rules.bag_yield_m3 > 0, "bag yield", rules.bag_yield_m3);
    need(rules.stone_kg_per_m3 > 0, "stone density", rules.stone_kg_per_m3);
    need(soil.swell_ratio >= 0, "swell", soil.swell_ratio);
    need(soil.shrink_ratio >= 0 && soil.shrink_ratio < 1, "shrink", soil.shrink_ratio);
}

/// A pit and the node of the net it stands at.
struct PitNode {
    FootingPit pit;
    std::size_t node = 0;
};

/// Where a pit may stand: the ends of a line; all corners of a ring, which has no end.
std::vector<std::size_t> pit_places(const PipeNet& net, double join_reach_m)
{
    std::vector<std::size_t> places;
    for (const auto& [first, last] : net.ends) {
        const bool ring = distance_m(net.nodes[first], net.nodes[last]) <= join_reach_m;
        for (std::size_t node = first; node <= last; node += ring ? 1 : last - first) {
            places.push_back(node);
        }
    }
    return places;
}

/// One pit for each pump; two pumps at one place share theirs.
std::vector<PitNode> pits_of_pumps(const Site& site, const PipeNet& net, double join_reach_m)
{
    std::vector<PitNode> pits;
    const auto places = pit_places(net, join_reach_m);
    for (std::size_t i = 0; i < site.sources.size(); ++i) {
        const auto& source = site.sources[i];
        if (source.kind != SourceKind::pump) {
            continue;
        }
        const auto nearest = *std::ranges::min_element(
            places, {}, [&](std::size_t node) { return distance_m(net.nodes[node], source.at); });
        const Point at = net.nodes[nearest];
        const bool taken = std::ranges::any_of(
            pits, [&](const PitNode& other) { return distance_m(other.pit.at, at) <= join_reach_m; });
        if (!taken) {
            pits.push_back({.pit = {.at = at, .source = i, .to_source_m = distance_m(at, source.at)}, .node = nearest});
        }
    }
    return pits;
}

WaysToPits ways_to(const PipeNet& net, const std::vector<PitNode>& pits)
{
    std::vector<std::size_t> nodes;
    for (const auto& pit : pits) {
        nodes.push_back(pit.node);
    }
    return ways_to_pits(net, nodes);
}

/// Lines that no pump is near run to the last point of the first of them.
WaysToPits ways_with_a_pit_each(const PipeNet& net, std::vector<PitNode>& pits)
{
    auto ways = ways_to(net, pits);
    for (const auto& [first, last] : net.ends) {
        if (std::isinf(ways.way_m[last])) {
            pits.push_back({.pit = {.at = net.nodes[last]}, .node = last});
            ways = ways_to(net, pits);
        }
    }
    return ways;
}

/// A stretch of pipe that runs straight down to one pit.
struct Run {
    std::size_t pit = 0;
    double length_m = 0;
    double low_way_m = 0; ///< to the pit from its lower end
    Point top;
    Point low;
};

/// A piece drains to both of its ends, parted where both ways are equally long.
std::vector<Run> runs_of(const PipeNet& net, const WaysToPits& ways)
{
    std::vector<Run> runs;
    for (const auto& piece : net.pieces) {
        const double from_a_m =
            std::clamp((ways.way_m[piece.b] + piece.length_m - ways.way_m[piece.a]) / 2, 0.0, piece.length_m);
        const Point top = point_at({net.nodes[piece.a], net.nodes[piece.b]}, from_a_m);
        runs.push_back({ways.pit[piece.a], from_a_m, ways.way_m[piece.a], top, net.nodes[piece.a]});
        runs.push_back({ways.pit[piece.b], piece.length_m - from_a_m, ways.way_m[piece.b], top, net.nodes[piece.b]});
    }
    return runs;
}

void measure_pits(std::vector<PitNode>& pits, const std::vector<Run>& runs, const FootingRules& rules)
{
    for (const auto& run : runs) {
        auto& pit = pits[run.pit].pit;
        pit.length_m += run.length_m;
        if (run.length_m > 0 && run.low_way_m + run.length_m > pit.longest_run_m) {
            pit.longest_run_m = run.low_way_m + run.length_m;
            pit.farthest = run.top;
        }
    }
    for (auto& [pit, node] : pits) {
        pit.fall_m = pit.longest_run_m * rules.min_fall_ratio;
        pit.trench_depth_m = rules.trench_depth_m + pit.fall_m;
        pit.inlet_depth_m = pit.trench_depth_m - rules.stone_under_m - rules.wall_m;
    }
}

/// Exact: along a run the depth changes in a straight line.
double cut_m3(const std::vector<PitNode>& pits, const std::vector<Run>& runs, const FootingRules& rules)
{
    double volume_m3 = 0;
    for (const auto& run : runs) {
        const double mean_way_m = run.low_way_m + run.length_m / 2;
        const double mean_depth_m = pits[run.pit].pit.trench_depth_m - rules.min_fall_ratio * mean_way_m;
        volume_m3 += run.length_m * mean_depth_m * rules.trench_width_m;
    }
    return volume_m3;
}

std::vector<FootingRun> trench_runs(const std::vector<PitNode>& pits, const std::vector<Run>& runs,
                                    const FootingRules& rules)
{
    std::vector<FootingRun> trench;
    for (const auto& run : runs) {
        if (run.length_m > 0) {
            const double low_depth_m = pits[run.pit].pit.trench_depth_m - rules.min_fall_ratio * run.low_way_m;
            trench.push_back({.low = run.low,
                              .top = run.top,
                              .low_depth_m = low_depth_m,
                              .top_depth_m = low_depth_m - rules.min_fall_ratio * run.length_m});
        }
    }
    return trench;
}

/// Stone, pipe, refill and spoil of the work, whose length and cut are known.
void fill_trench(FootingWork& work, const FootingRules& rules, const SoilRules& soil)
{
    const double stone_height_m = rules.stone_under_m + rules.outside_diameter_m + rules.stone_over_m;
    const double bed_m3 = work.length_m * rules.trench_width_m * stone_height_m;
    work.pipe_m3 = work.length_m * std::numbers::pi / 4 * rules.outside_diameter_m * rules.outside_diameter_m;
    work.stone_m3 = bed_m3 - work.pipe_m3;
    work.stone_kg = work.stone_m3 * rules.stone_kg_per_m3;
    // A bag is not opened for what rounding leaves over.
    work.bags = static_cast<long long>(std::ceil(work.stone_m3 / rules.bag_yield_m3 - 1e-6));
    work.refill_m3 = std::max(work.cut_m3 - bed_m3, 0.0);
    work.spoil_m3 = std::max(work.cut_m3 - work.refill_m3 / (1 - soil.shrink_ratio), 0.0);
    work.spoil_loose_m3 = work.spoil_m3 * (1 + soil.swell_ratio);
    work.spoil_stays = rules.keep_spoil_inside;
}

} // namespace

std::optional<FootingWork> footing_work(const Site& site, const FootingRules& rules, const SoilRules& soil)
{
    require_in_range(rules, soil);
    if (site.footing_drains.empty()) {
        return std::nullopt;
    }
    std::vector<Polyline> lines;
    for (const auto& drain : site.footing_drains) {
        lines.push_back(drain.line);
    }
    const auto net = pipe_net(lines, rules.join_reach_m);
    auto pits = pits_of_pumps(site, net, rules.join_reach_m);
    const auto runs = runs_of(net, ways_with_a_pit_each(net, pits));
    measure_pits(pits, runs, rules);
    FootingWork work;
    for (const auto& line : lines) {
        work.length_m += length_m(line);
    }
    work.cut_m3 = cut_m3(pits, runs, rules);
    fill_trench(work, rules, soil);
    work.runs = trench_runs(pits, runs, rules);
    for (auto& [pit, node] : pits) {
        work.pits.push_back(pit);
    }
    return work;
}

double outside_foundations_m(const Polyline& line, const std::vector<Polygon>& foundations)
{
    std::vector<Interval> inside;
    for (const auto& house : foundations) {
        const auto spans = spans_inside(line, house);
        inside.insert(inside.end(), spans.begin(), spans.end());
    }
    return std::max(length_m(line) - total_m(merged(std::move(inside))), 0.0);
}

} // namespace trenchwright
