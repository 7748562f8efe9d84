#include "trenchwright/plan/trench.hpp"

#include "trenchwright/base/missing_text.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/findings.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/lay_trench.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/protection.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/curb_ground.hpp"
#include "trenchwright/route/wedge.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <memory>
#include <span>

namespace trenchwright {

namespace {

/// How often a route is planned again because its laid profile was too deep.
constexpr int max_tries = 4;

std::vector<SpanValue> dig_prices(const TrenchPlan& trench, const RouteRules& rules)
{
    std::vector<SpanValue> prices;
    double at = 0;
    const auto add = [&](double to, double price) {
        if (to > at) {
            prices.push_back({.span = {at, to}, .value = price});
            at = to;
        }
    };
    for (const auto& hand : trench.line.facts.hand) {
        add(hand.from_m, rules.machine_per_m3);
        add(hand.to_m, rules.hand_per_m3);
    }
    add(length_m(trench.line.route.line), rules.machine_per_m3);
    return prices;
}

/// As surveyed, but at a curb by the outlet's record.
std::vector<GroundPoint> ground_along(const Polyline& line, const Outlet& outlet, const Ground& ground,
                                      const RouteRules& rules)
{
    return with_curb_top(ground.along(line, rules.cell_m).value(), outlet, curb_reach_m(outlet, line, rules));
}

/// The footing's wedge along a trench, in short stretches.
std::vector<InvertLimit> wedge_limits(const TrenchPlan& trench, std::span<const GroundPoint> ground, const Site& site,
                                      const RouteRules& rules)
{
    std::vector<InvertLimit> limits;
    const auto& line = trench.line.route.line;
    const double length = length_m(line);
    const auto count = rules.wedge ? static_cast<int>(std::ceil(length / wedge_step_m)) : 0;
    const auto lowest_at = [&](double station) {
        return lowest_by_wedge_m(site, site.sources[trench.source].at, point_at(line, station), rules);
    };
    for (int i = 0; i < count; ++i) {
        const Interval span{length * i / count, length * (i + 1) / count};
        const double lowest = std::max(lowest_at(span.from_m), lowest_at(span.to_m));
        const double by_cut = rules.section.invert_for_cut_m(
            std::min(ground_at_m(ground, span.from_m), ground_at_m(ground, span.to_m)), rules.deepest_cut_m);
        if (lowest > by_cut) { // else the deepest cut asks for more
            limits.push_back({.span = span, .lowest_elev_m = lowest});
        }
    }
    return limits;
}

ProfileProblem problem_of(const TrenchPlan& trench, const Site& site, const Ground& ground, const Rules& rules)
{
    const auto& route = rules.route;
    ProfileProblem problem;
    problem.ground = ground_along(trench.line.route.line, site.outlets[trench.outlet], ground, route);
    problem.section = route.section;
    for (const auto& [span, cover] :
         min_cover_along(trench.line.facts.surface, trench.line.route.line, site.outlets[trench.outlet], route)) {
        problem.min_cover_m.push_back({.span = span, .value = cover});
    }
    problem.dig_cost_per_m3 = dig_prices(trench, route);
    for (const auto& bend : trench.line.bends) {
        problem.bend_stations_m.push_back(bend.station_m);
    }
    const double top = problem.ground.back().elev_m;
    problem.lowest_outlet_invert_elev_m = trench.line.route.end.lowest_invert_elev_m;
    problem.highest_outlet_invert_elev_m =
        std::min(trench.line.route.end.highest_invert_elev_m, problem.ground.front().elev_m + route.section.wall_m);
    problem.highest_source_invert_elev_m = site.sources[trench.source].highest_invert_elev_m.value_or(top);
    problem.min_fall_ratio = route.min_fall_ratio;
    problem.deepest_cut_m = route.deepest_cut_m;
    problem.limits = wedge_limits(trench, problem.ground, site, route);
    problem.stick_length_m = rules.stick_length_m;
    problem.min_joint_saving = rules.min_joint_saving;
    problem.turn_price = turn_price(route);
    return problem;
}

/// Where a structure would stand nearer to a mark than its gap.
std::vector<Interval> near_marks(const Site& site, const Polyline& line, const RouteRules& rules)
{
    std::vector<Interval> spans;
    for (const auto& mark : site.marks) {
        const auto near = strip_spans_within(line, 0, mark.line, structure_reach_m(mark, rules));
        spans.insert(spans.end(), near.begin(), near.end());
    }
    return merged(std::move(spans));
}

std::vector<double> special_stations_m(const TrenchPlan& trench)
{
    std::vector<double> stations;
    for (const auto& bend : trench.line.bends) {
        stations.push_back(bend.station_m);
    }
    for (const auto& vertical : trench.laid.grades.bends) {
        stations.push_back(vertical.bend.station_m);
    }
    if (trench.laid.reduced) {
        stations.push_back(trench.laid.reduced->length_m);
    }
    for (const auto& crossing : trench.measured.crossings) {
        stations.push_back(crossing.station_m);
    }
    return stations;
}

} // namespace

void measure_and_price_trench(TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const auto& line = trench.line.route.line;
    const auto& route = rules.route;
    trench.laid.grades =
        grades_of(trench.laid.profile.points, line, trench.pressure, rules.stick_length_m, route, rules.steep);
    trench.laid.shallow = shallow_stretches(trench.line.facts.surface, line, site.outlets[trench.outlet],
                                            trench.laid.problem, trench.laid.profile, route);
    trench.measured.zones = hand_dig_zones(site, line, route);
    trench.measured.crossings = crossings_along(site, line, trench.laid.problem, trench.laid.profile, route);
    trench.measured.records =
        crossing_records(site, trench.laid.problem, trench.laid.profile, trench.measured.crossings,
                         {.clearances = rules.clearances, .ties = rules.ties});
    trench.measured.quantities =
        measure(site, line, trench.laid.problem, trench.laid.profile, trench.measured.zones, route, rules.soil);
    trench.measured.depths = depths(trench.laid.problem, trench.laid.profile, trench.measured.zones,
                                    special_stations_m(trench), rules.depth_step_m);
    for (auto& depth : trench.measured.depths) {
        depth.cover_m += reduced_cover_m(trench, depth.station_m);
    }
    add_protection(trench, site, rules);
    if (!trench.pressure) {
        trench.laid.cleanouts = cleanouts(line, trench.line.bends, rules.cleanouts, near_marks(site, line, route));
    }
    const auto spare = extra_fall(trench.laid.problem, !trench.joins && rests_on_ground(site.outlets[trench.outlet]));
    trench.laid.extra_fall_m = spare.room_m;
    trench.laid.extra_fall_station_m = spare.station_m;
}

void want_cover(TrenchPlan& trench, const Site& site, const Rules& wanted)
{
    auto& problem = trench.laid.problem;
    problem.wanted_above_m = trench.line.route.end.reserve_m;
    problem.wanted_cover_m.clear();
    for (const auto& [span, cover] : min_cover_along(trench.line.facts.surface, trench.line.route.line,
                                                     site.outlets[trench.outlet], wanted.route)) {
        problem.wanted_cover_m.push_back({.span = span, .value = cover});
    }
}

double laid_price(const std::vector<const TrenchPlan*>& trenches, const Site& site, const Rules& rules,
                  const RateBook& book)
{
    static const std::optional<FootingWork> no_work_inside;
    const PriceBasis basis{.site = site, .rules = rules, .book = book, .footing = no_work_inside};
    double weight = static_cast<double>(total_cents(estimate(trench_work(basis, trenches), book, 0)).likely) / 100;
    for (const auto* trench : trenches) {
        weight += rules.route.parallel_per_m * total_m(trench->line.facts.parallel);
    }
    return weight;
}

TrenchPlan on_route(Route route, const Site& site, const Ground& ground, const Rules& rules, std::size_t source,
                    std::size_t outlet)
{
    TrenchPlan trench;
    trench.source = source;
    trench.outlet = outlet;
    trench.wedge_kept = rules.route.wedge;
    trench.line.route = std::move(route);
    const auto& line = trench.line.route.line;
    trench.line.facts = facts_along(site, line, surfaces_along(site, line, rules.route), rules.route);
    trench.measured.along = parallel_runs(site, line, rules.route, rules.clearances);
    trench.line.bends = bends(trench.line.route.line, rules.route);
    trench.laid.problem = problem_of(trench, site, ground, rules);
    return trench;
}

namespace {

Refusal laid_refusal(Refusal refusal, const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const UnitSystem units = rules.units;
    const double station = refusal.station_m.value_or(0);
    const std::string by = missing_text(refusal.short_by_m.value_or(0), units);
    const std::string at = station_text(station, units);
    if (refusal.kind == RefusalKind::too_deep) {
        refusal.text = fmt::format("a route drains, but laid in straight grades it is {} too deep at {}", by, at);
        return refusal;
    }
    const auto cover =
        cover_at(site, site.outlets[trench.outlet], point_at(trench.line.route.line, station), rules.route);
    refusal.text = fmt::format("a route drains, but laid in straight grades it falls short by {} at {}, below {}", by,
                               at, cover_words(cover, rules.route, units));
    return refusal;
}

/// Names the water that may not enter; footing water that a pump lifts is no source's own water.
Refusal not_permitted(const Site& site, const Outlet& outlet, const Source& source)
{
    const auto waters = waters_of(site, source);
    const auto refused =
        *std::ranges::find_if(waters, [&](Water water) { return permission_for(outlet, water) == Permission::no; });
    const auto how = refused == source.water
                         ? std::string()
                         : fmt::format(", which {} lifts: the footing drain runs to its pit. Lead the footing drain or "
                                       "the pump to an outlet that takes footing water",
                                       source.id);
    return {.kind = RefusalKind::not_permitted,
            .text = fmt::format("not allowed for {} water{}", water_name(refused), how),
            .at = std::nullopt,
            .station_m = std::nullopt,
            .short_by_m = std::nullopt};
}

/// A route that could not be laid.
struct NotLaid {
    TrenchPlan trench;
    Refusal refusal;
};

/// Of the routes laid in straight grades the best by the estimate, or the first where it is only asked whether one works;
/// where none can be laid, why the first cannot.
std::variant<TrenchPlan, NotLaid> best_laid(std::vector<Route> routes, const Site& site, const Ground& ground,
                                            const Rules& asked, const Easing& easing, std::size_t source,
                                            std::size_t outlet)
{
    const RateBook book = settings_book(asked);
    const Rules rules = planning_rules(asked, easing);
    const Rules measuring = measuring_rules(asked, easing);
    std::optional<TrenchPlan> best;
    std::optional<NotLaid> first;
    double least = 0;
    for (auto& route : routes) {
        TrenchPlan trench = on_route(std::move(route), site, ground, rules, source, outlet);
        if (easing.lowest_cover) {
            want_cover(trench, site, measuring);
        }
        if (auto refusal = lay_trench(trench, site, rules)) {
            first = first ? std::move(first) : NotLaid{.trench = std::move(trench), .refusal = *std::move(refusal)};
            continue;
        }
        trench.laid.reduced = reduced_end(trench.line.route.line, site.outlets[outlet], rules, easing);
        measure_and_price_trench(trench, site, measuring);
        if (!rules.route.polish) {
            return trench;
        }
        const double weight = laid_price({&trench}, site, asked, book);
        if (!best || weight < least) {
            best = std::move(trench);
            least = weight;
        }
    }
    if (best) {
        return *std::move(best);
    }
    return *std::move(first);
}

/// A route and its laid profile; a profile that comes out too deep sends the route back with less depth allowed.
std::variant<TrenchPlan, Refusal> plan_with(const RoutePreps& preps, const Site& site, const Ground& ground,
                                            const Rules& asked, const Easing& easing, std::size_t source,
                                            std::size_t outlet)
{
    const Rules rules = planning_rules(asked, easing);
    Rules tightened = rules;
    tightened.route.reserve_fall_m = rules.min_extra_fall_m;
    std::shared_ptr<const RoutePrep> own;
    for (int attempt = 0;; ++attempt) {
        auto routed = plan_routes(own ? *own : preps.of(easing), site, ground, site.sources[source],
                                  site.outlets[outlet], tightened.route, rules.units);
        if (auto* refusal = std::get_if<Refusal>(&routed)) {
            return std::move(*refusal);
        }
        auto laid =
            best_laid(std::get<std::vector<Route>>(std::move(routed)), site, ground, asked, easing, source, outlet);
        auto* bar = std::get_if<NotLaid>(&laid);
        if (bar == nullptr) {
            return std::get<TrenchPlan>(std::move(laid));
        }
        auto& refusal = bar->refusal;
        if (refusal.kind == RefusalKind::clearance) {
            return std::move(refusal);
        }
        if (refusal.kind != RefusalKind::too_deep || attempt + 1 == max_tries) {
            return laid_refusal(std::move(refusal), bar->trench, site, rules);
        }
        tightened.route.deepest_cut_m -= refusal.short_by_m.value_or(0) + 0.001;
        own = prepare_routes(site, ground, tightened.route);
    }
}

bool refused_for(const std::variant<TrenchPlan, Refusal>& outcome, RefusalKind kind)
{
    const auto* refusal = std::get_if<Refusal>(&outcome);
    return refusal != nullptr && refusal->kind == kind;
}

/// Whether less cover over the pipe is worth a try: it may drain then, or come out under its own opening.
bool lower_cover_may_help(const std::variant<TrenchPlan, Refusal>& outcome, const Site& site, const Rules& rules,
                          std::size_t outlet)
{
    const bool curb = site.outlets[outlet].kind == OutletKind::curb; // whose opening no cover makes larger
    return lowest_cover_saves_m(rules.route) > 0 && (refused_for(outcome, RefusalKind::falls_short) ||
                                                     (refused_for(outcome, RefusalKind::pipe_too_large) && !curb));
}

/// By the rules as they stand; where the pipe does not fit the curb, by a smaller one; where fall is short, under the
/// lowest cover, and at once so where it is only asked whether any works. A refusal is that of the plan that took the
/// most.
std::variant<TrenchPlan, Refusal> plan_easing_by_need(const RoutePreps& preps, const Site& site, const Ground& ground,
                                                      const Rules& rules, Easing easing, std::size_t source,
                                                      std::size_t outlet)
{
    easing.lowest_cover = !rules.route.polish && lowest_cover_saves_m(rules.route) > 0;
    auto outcome = plan_with(preps, site, ground, rules, easing, source, outlet);
    const bool curb = site.outlets[outlet].kind == OutletKind::curb;
    if (curb && rules.curb_reducer && refused_for(outcome, RefusalKind::pipe_too_large)) {
        for (const std::size_t pipe : smaller_pipes(rules)) {
            easing.curb_pipe = pipe;
            outcome = plan_with(preps, site, ground, rules, easing, source, outlet);
            if (!refused_for(outcome, RefusalKind::pipe_too_large)) {
                break;
            }
        }
    }
    if (!easing.lowest_cover && lower_cover_may_help(outcome, site, rules, outlet)) {
        easing.lowest_cover = true;
        outcome = plan_with(preps, site, ground, rules, easing, source, outlet);
    }
    return outcome;
}

/// As clear of our footing as can be.
std::variant<TrenchPlan, Refusal> plan_by_need(const RoutePreps& preps, const Site& site, const Ground& ground,
                                               const Rules& rules, std::size_t source, std::size_t outlet)
{
    const auto with = [&](BesideFooting footing) {
        Easing easing;
        easing.footing = footing;
        return plan_easing_by_need(preps, site, ground, rules, easing, source, outlet);
    };
    return as_clear_of_footing_as_can_be(rules, with, [](const auto& outcome) {
        return refused_for(outcome, RefusalKind::falls_short) || refused_for(outcome, RefusalKind::too_deep) ||
               refused_for(outcome, RefusalKind::blocked);
    });
}

} // namespace

Easing easing_of(const std::vector<const TrenchPlan*>& trenches, const Rules& rules)
{
    Easing easing;
    for (const auto* trench : trenches) {
        easing.lowest_cover = easing.lowest_cover || !trench->laid.problem.wanted_cover_m.empty();
        if (rules.route.wedge) {
            const auto& kept = trench->wedge_kept;
            const auto footing = !kept                 ? BesideFooting::not_kept
                                 : kept->let_off_m > 0 ? BesideFooting::let_off_at_wall
                                                       : BesideFooting::kept;
            easing.footing = std::max(easing.footing, footing);
        }
        if (trench->laid.reduced) {
            const auto& pipes = rules.water.pipes;
            const auto named = std::ranges::find(pipes, trench->laid.reduced->pipe, &PipeChoice::name);
            easing.curb_pipe = static_cast<std::size_t>(named - pipes.begin());
        }
    }
    return easing;
}

std::variant<TrenchPlan, Refusal> plan_trench(const RoutePreps& preps, const Site& site, const Ground& ground,
                                              const Rules& rules, std::size_t source, std::size_t outlet)
{
    const Permission permission = permission_for(site, site.outlets[outlet], site.sources[source]);
    if (permission == Permission::no) {
        return not_permitted(site, site.outlets[outlet], site.sources[source]);
    }
    auto outcome = plan_by_need(preps, site, ground, rules, source, outlet);
    if (auto* trench = std::get_if<TrenchPlan>(&outcome)) {
        trench->permission = permission;
        trench->findings = trench_findings(*trench, site, ground, rules);
    }
    return outcome;
}

} // namespace trenchwright
