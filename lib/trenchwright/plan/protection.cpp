#include "trenchwright/plan/protection.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/dig/excavation.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

double side_slope(const ProtectionRules& rules)
{
    if (rules.soil == "rock") {
        return 0;
    }
    return rules.soil == "A" ? rules.slope_a_ratio : rules.soil == "B" ? rules.slope_b_ratio : rules.slope_c_ratio;
}

std::vector<Interval> overlap_of(const std::vector<Interval>& a, const std::vector<Interval>& b)
{
    return minus(a, minus(a, b));
}

std::vector<Interval> hand_spans(const TrenchPlan& trench)
{
    std::vector<Interval> spans;
    for (const auto& zone : trench.measured.zones) {
        spans.push_back(zone.span);
    }
    return merged(std::move(spans));
}

/// The runs of a trench within a stretch, marked as sloped.
std::vector<CutRun> runs_within(const TrenchPlan& trench, const Interval& span)
{
    auto runs = cut_runs(trench.laid.problem, trench.laid.profile, {span.from_m, span.to_m});
    std::erase_if(runs, [&](const CutRun& run) { return run.span.from_m < span.from_m || run.span.to_m > span.to_m; });
    std::ranges::for_each(runs, [](CutRun& run) { run.sloped = true; });
    return runs;
}

/// A stretch with its own greatest cut, which lies at a break.
ExceedingSpan deepest_in(const TrenchPlan& trench, const Interval& span)
{
    ExceedingSpan deepest{.span = span,
                          .max_m = cut_at_m(trench.laid.problem, trench.laid.profile, span.from_m),
                          .max_station_m = span.from_m};
    for (const auto& run : runs_within(trench, span)) {
        if (run.to_cut_m > deepest.max_m) {
            deepest.max_m = run.to_cut_m;
            deepest.max_station_m = run.span.to_m;
        }
    }
    return deepest;
}

ProtectedStretch shored_stretch(const TrenchPlan& trench, const ExceedingSpan& cut)
{
    return {.cut = cut,
            .shored = true,
            .top_width_m = trench.laid.problem.section.width_m,
            .face_m2 = face_area_m2(trench.laid.problem, trench.laid.profile, cut.span)};
}

ProtectedStretch sloped_stretch(const TrenchPlan& trench, const Rules& rules, const ExceedingSpan& cut)
{
    const double slope = side_slope(rules.safety.protection);
    ProtectedStretch stretch{.cut = cut, .top_width_m = trench.laid.problem.section.width_m + 2 * slope * cut.max_m};
    const auto by_hand = overlap_of({cut.span}, hand_spans(trench));
    for (const auto& span : by_hand) {
        stretch.extra_hand_m3 += side_slope_volume_m3(trench.laid.problem, trench.laid.profile, span, slope);
    }
    for (const auto& span : minus({cut.span}, by_hand)) {
        stretch.extra_machine_m3 += side_slope_volume_m3(trench.laid.problem, trench.laid.profile, span, slope);
    }
    return stretch;
}

/// What side slopes along a whole stretch would come to.
std::vector<Encroachment> slopes_reach(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                       const Interval& span)
{
    return reached_by_opening(trench.line.route.line, runs_within(trench, span),
                              objects_beside(site, rules.route, words_of(rules.safety.spoil_off)),
                              trench.laid.problem.section.width_m, side_slope(rules.safety.protection));
}

std::vector<Encroachment> only(std::vector<Encroachment> reached, bool barred)
{
    std::erase_if(reached, [&](const Encroachment& one) { return bars_slopes(one.kind) != barred; });
    return reached;
}

/// Where slopes would reach what they may not there is no slope to dig: those runs are shored, the rest is sloped.
std::vector<ProtectedStretch> slope_where_room(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                               const ExceedingSpan& cut)
{
    const auto barred = only(slopes_reach(trench, site, rules, cut.span), true);
    std::vector<Interval> no_room;
    for (const auto& reached : barred) {
        no_room.push_back(reached.over.span);
    }
    no_room = merged(std::move(no_room));
    std::vector<ProtectedStretch> stretches;
    for (const auto& span : no_room) {
        auto stretch = shored_stretch(trench, deepest_in(trench, span));
        stretch.no_room = true;
        for (const auto& reached : barred) {
            if (reached.over.span.from_m >= span.from_m && reached.over.span.to_m <= span.to_m) {
                stretch.reached.push_back(reached);
            }
        }
        stretches.push_back(std::move(stretch));
    }
    for (const auto& span : minus({cut.span}, no_room)) {
        auto stretch = sloped_stretch(trench, rules, deepest_in(trench, span));
        stretch.reached = only(slopes_reach(trench, site, rules, span), false);
        stretches.push_back(std::move(stretch));
    }
    std::ranges::sort(stretches, {}, [](const ProtectedStretch& one) { return one.cut.span.from_m; });
    return stretches;
}

/// Stretches in tree circles but in no mark's zone: there a bore passes under the roots.
std::vector<Interval> bored_spans(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    std::vector<Interval> marks;
    for (const auto& mark : site.marks) {
        const auto near = strip_spans_within(trench.line.route.line, trench.laid.problem.section.width_m, mark.line,
                                             hand_dig_reach_m(mark, rules.route));
        marks.insert(marks.end(), near.begin(), near.end());
    }
    return minus(merged(trench.line.facts.tree), merged(std::move(marks)));
}

double volume_in(const TrenchPlan& trench, const std::vector<Interval>& spans)
{
    double volume = 0;
    for (const auto& span : spans) {
        volume += trench_volume_m3(trench.laid.problem, trench.laid.profile, span);
    }
    return volume;
}

/// A bore digs no trench: its length leaves the hand digging, the bedding, the backfill and the restoring.
void take_out_bores(TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const auto bored = bored_spans(trench, site, rules);
    const double length = total_m(bored);
    trench.safety.bored = bored;
    trench.safety.bored_m = length;
    if (!(length > 0)) {
        return;
    }
    auto& q = trench.measured.quantities;
    const double share = length / q.length_m;
    const double volume = volume_in(trench, bored);
    const double bedding = q.bedding_m3 * share;
    const double pipe = q.pipe_m3 * share;
    q.hand_length_m = std::max(0.0, q.hand_length_m - length);
    q.hand_cut_m3 = std::max(0.0, q.hand_cut_m3 - volume);
    q.bedding_m3 -= bedding;
    q.backfill_m3 = std::max(0.0, q.backfill_m3 - (volume - bedding - pipe));
    const double goes_back = q.backfill_m3 / (1 - rules.soil.shrink_ratio);
    q.haul_loose_m3 = std::max(0.0, q.machine_cut_m3 + q.hand_cut_m3 - goes_back) * (1 + rules.soil.swell_ratio);
    for (auto& zone : trench.measured.zones) {
        zone.volume_m3 = std::max(0.0, zone.volume_m3 - volume_in(trench, overlap_of({zone.span}, bored)));
    }
    for (const auto& [span, kind] : trench.line.facts.surface) {
        auto& area = q.restore_m2[kind];
        area = std::max(0.0, area - total_m(overlap_of({span}, bored)) * rules.route.restore_width_m);
    }
}

/// As deep as the limit or deeper, exactly; and whole stretches that only read as deep as the limit, for who digs by
/// the paper finds the limit there.
std::vector<ExceedingSpan> deep_stretches(const TrenchPlan& trench, double limit_m)
{
    auto deep = cut_from(trench.laid.problem, trench.laid.profile, limit_m);
    const auto exact = deep;
    for (const auto& reads : cut_from(trench.laid.problem, trench.laid.profile, printed_from_m(limit_m))) {
        const auto within = [&](const ExceedingSpan& one) {
            return one.span.to_m >= reads.span.from_m && one.span.from_m <= reads.span.to_m;
        };
        if (std::ranges::none_of(exact, within)) {
            deep.push_back(reads);
        }
    }
    std::ranges::sort(deep, {}, [](const ExceedingSpan& one) { return one.span.from_m; });
    return deep;
}

} // namespace

void add_protection(TrenchPlan& trench, const Site& site, const Rules& rules)
{
    auto& safety = trench.safety;
    if (rules.safety.trees.bore) {
        take_out_bores(trench, site, rules);
    }
    safety.exits = deep_stretches(trench, rules.egress_and_air_test_cut_m);
    safety.protection.clear();
    for (const auto& cut : deep_stretches(trench, rules.protective_system_cut_m)) {
        const auto stretches = rules.safety.protection.shore ? std::vector{shored_stretch(trench, cut)}
                                                             : slope_where_room(trench, site, rules, cut);
        safety.protection.insert(safety.protection.end(), stretches.begin(), stretches.end());
    }
}

std::vector<CutRun> runs_of_trench(const TrenchPlan& trench)
{
    std::vector<double> edges;
    for (const auto& stretch : trench.safety.protection) {
        edges.insert(edges.end(), {stretch.cut.span.from_m, stretch.cut.span.to_m});
    }
    auto runs = cut_runs(trench.laid.problem, trench.laid.profile, edges);
    for (auto& run : runs) {
        run.sloped = std::ranges::any_of(trench.safety.protection, [&](const ProtectedStretch& stretch) {
            return !stretch.shored && run.span.from_m >= stretch.cut.span.from_m &&
                   run.span.to_m <= stretch.cut.span.to_m;
        });
    }
    return runs;
}

Heap heap_of(const TrenchPlan& trench, const Rules& rules)
{
    return {.width_m = trench.laid.problem.section.width_m,
            .side_slope_ratio = side_slope(rules.safety.protection),
            .setback_m = rules.safety.spoil_setback_m,
            .swell_ratio = rules.soil.swell_ratio,
            .repose_rad = rules.safety.repose_rad};
}

} // namespace trenchwright
