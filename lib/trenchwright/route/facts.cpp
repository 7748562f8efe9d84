#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/along_marks.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// Bends flatter than this are drawing noise, not bends.
constexpr double straight_rad = 0.1 * std::numbers::pi / 180;

/// Up to two fittings that together make a bend.
struct FittingPair {
    const FittingRule* first = nullptr;
    const FittingRule* second = nullptr;
    double deflection_rad = 0;
    double price = 0;
};

/// Cheaper first, then the one that leaves less to the joints.
void take_if_better(std::optional<FittingPair>& best, double angle_rad, FittingPair pair, const RouteRules& rules)
{
    double sum_rad = 0;
    pair.price = pair.first == nullptr && angle_rad > straight_rad ? rules.coupling_price : 0;
    for (const auto* fitting : {pair.first, pair.second}) {
        sum_rad += fitting != nullptr ? fitting->angle_rad : 0;
        pair.price += fitting != nullptr ? fitting->price : 0;
    }
    pair.deflection_rad = std::abs(angle_rad - sum_rad);
    const bool better =
        !best || pair.price < best->price || (pair.price == best->price && pair.deflection_rad < best->deflection_rad);
    if (pair.deflection_rad <= rules.max_deflection_rad && better) {
        best = pair;
    }
}

void add_all(std::vector<Interval>& all, const std::vector<Interval>& spans)
{
    all.insert(all.end(), spans.begin(), spans.end());
}

std::optional<FittingPair> fittings_for(double angle_rad, const RouteRules& rules)
{
    std::optional<FittingPair> best;
    take_if_better(best, angle_rad, {}, rules);
    for (std::size_t i = 0; i < rules.fittings.size(); ++i) {
        const auto* first = &rules.fittings[i];
        take_if_better(best, angle_rad, {.first = first}, rules);
        for (std::size_t j = i; j < rules.fittings.size(); ++j) {
            take_if_better(best, angle_rad, {.first = first, .second = &rules.fittings[j]}, rules);
        }
    }
    return best;
}

} // namespace

std::optional<double> bend_price(double angle_rad, const RouteRules& rules)
{
    constexpr double rounding_rad = 1e-9;
    const auto best = angle_rad <= rules.max_turn_rad + rounding_rad ? fittings_for(angle_rad, rules) : std::nullopt;
    return best ? std::optional(best->price) : std::nullopt;
}

std::optional<Bend> bend_for(double angle_rad, const RouteRules& rules)
{
    const auto best = fittings_for(angle_rad, rules);
    if (!best) {
        return std::nullopt;
    }
    Bend bend{.station_m = 0,
              .angle_rad = angle_rad,
              .fitting_angles_rad = {},
              .deflection_rad = best->deflection_rad,
              .price = best->price,
              .at = {}};
    for (const auto* fitting : {best->first, best->second}) {
        if (fitting != nullptr) {
            bend.fitting_angles_rad.push_back(fitting->angle_rad);
        }
    }
    return bend;
}

std::vector<Bend> bends(const Polyline& line, const RouteRules& rules)
{
    std::vector<Bend> result;
    double station = 0;
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
        station += distance_m(line[i - 1], line[i]);
        const double angle = turn_rad(line[i - 1], line[i], line[i + 1]);
        if (angle < straight_rad) {
            continue;
        }
        auto bend = bend_for(angle, rules);
        if (!bend) {
            throw Error(ErrorKind::internal, fmt::format("no fittings make a bend of {} rad", angle));
        }
        bend->station_m = station;
        bend->at = line[i];
        result.push_back(std::move(*bend));
    }
    return result;
}

double hand_dig_reach_m(const Mark& mark, const RouteRules& rules)
{
    return mark.width_m.value_or(0) / 2 + rules.tolerance_m + mark.position_accuracy_m.value_or(0);
}

double structure_reach_m(const Mark& mark, const RouteRules& rules)
{
    return mark.width_m.value_or(0) / 2 + rules.structure_gap_m + mark.position_accuracy_m.value_or(0);
}

const Mark* mark_in_reach(const Site& site, const Point& at, const RouteRules& rules)
{
    constexpr double rounding_m = 1e-6;
    const Mark* nearest = nullptr;
    double most_m = rounding_m;
    for (const auto& mark : site.marks) {
        const double lacks_m = structure_reach_m(mark, rules) - distance_m(at, mark.line);
        if (lacks_m > most_m) {
            most_m = lacks_m;
            nearest = &mark;
        }
    }
    return nearest;
}

double parallel_reach_m(const Mark& mark, const RouteRules& rules)
{
    const auto asked = rules.side_gap_m.find(mark.facility);
    const double hand = hand_dig_reach_m(mark, rules);
    if (asked == rules.side_gap_m.end()) {
        return hand;
    }
    const double pipe_in_trench = (rules.section.width_m - rules.section.outside_diameter_m) / 2;
    const double edge = mark.width_m.value_or(rules.unknown_width_m) / 2 + mark.position_accuracy_m.value_or(0);
    return std::max(hand, edge + asked->second - pipe_in_trench);
}

SurfaceSpans surfaces_along(const Site& site, const Polyline& line, const RouteRules& rules)
{
    SurfaceSpans result;
    std::vector<Interval> covered;
    const auto add = [&](const std::vector<Interval>& spans, const std::string& kind) {
        if (spans.empty()) {
            return;
        }
        for (const auto& span : minus(spans, covered)) {
            result.emplace_back(span, kind);
        }
        covered.insert(covered.end(), spans.begin(), spans.end());
        covered = merged(std::move(covered));
    };
    for (std::size_t i = site.surfaces.size(); i-- > 0;) {
        add(spans_inside(line, site.surfaces[i].area), site.surfaces[i].kind);
    }
    add({{0, length_m(line)}}, rules.default_surface);
    std::sort(result.begin(), result.end(),
              [](const auto& a, const auto& b) { return a.first.from_m < b.first.from_m; });
    return result;
}

LineFacts dug_along(const Site& site, const Polyline& line, SurfaceSpans surfaces, const RouteRules& rules)
{
    LineFacts facts;
    facts.surface = std::move(surfaces);
    for (const auto& mark : site.marks) {
        const double reach = hand_dig_reach_m(mark, rules);
        add_all(facts.hand, strip_spans_within(line, rules.section.width_m, mark.line, reach));
    }
    for (const auto& tree : site.trees) {
        const double radius = rules.tree_factor * tree.trunk_diameter_m;
        add_all(facts.tree, strip_spans_within(line, rules.section.width_m, tree.at, radius));
    }
    add_all(facts.hand, facts.tree);
    facts.hand = rounded_out(std::move(facts.hand), rules.section.width_m, length_m(line));
    facts.tree = merged(std::move(facts.tree));
    return facts;
}

LineFacts facts_along(const Site& site, const Polyline& line, SurfaceSpans surfaces, const RouteRules& rules)
{
    LineFacts facts = dug_along(site, line, std::move(surfaces), rules);
    for (const auto& mark : site.marks) {
        const auto spans = stretches_along(line, mark.line, priced_reach(mark, rules), rules.min_crossing_angle_rad);
        add_all(facts.parallel, spans);
    }
    facts.parallel = merged(std::move(facts.parallel));
    return facts;
}

} // namespace trenchwright
