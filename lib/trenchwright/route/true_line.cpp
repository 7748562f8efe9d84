#include "trenchwright/route/true_line.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/curb_ground.hpp"
#include "trenchwright/route/wedge.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

/// A model of heights is no straight line between the edges of its cells; closer than this it is taken as one.
constexpr double ground_step_m = 1;

/// The value of the stretch that holds a station.
template <class Value> Value value_at(const std::vector<std::pair<Interval, Value>>& spans, double station_m)
{
    for (const auto& [span, value] : spans) {
        if (station_m <= span.to_m) {
            return value;
        }
    }
    return spans.back().second;
}

bool inside(const std::vector<Interval>& spans, double station_m)
{
    return std::any_of(spans.begin(), spans.end(),
                       [&](const Interval& span) { return span.from_m <= station_m && station_m <= span.to_m; });
}

struct RunFacts {
    LineFacts line;
    std::vector<std::pair<Interval, double>> covers;
    std::vector<GroundPoint> ground;
};

std::vector<double> breaks_of(const RunFacts& facts)
{
    std::vector<double> stations;
    for (const auto& g : facts.ground) {
        stations.push_back(g.station_m);
    }
    const auto add = [&](const Interval& span) {
        stations.push_back(span.from_m);
        stations.push_back(span.to_m);
    };
    for (const auto& span : facts.line.hand) {
        add(span);
    }
    for (const auto& [span, cover] : facts.covers) {
        add(span);
    }
    std::sort(stations.begin(), stations.end());
    const auto same = [](double a, double b) { return b - a < 1e-9; };
    stations.erase(std::unique(stations.begin(), stations.end(), same), stations.end());
    return stations;
}

std::vector<TruePiece> pieces_of(const RunFacts& facts, const RouteRules& rules)
{
    std::vector<TruePiece> pieces;
    const auto stations = breaks_of(facts);
    for (std::size_t i = 1; i < stations.size(); ++i) {
        const double length = stations[i] - stations[i - 1];
        const double middle = (stations[i] + stations[i - 1]) / 2;
        const double per_m3 = inside(facts.line.hand, middle) ? rules.hand_per_m3 : rules.machine_per_m3;
        pieces.push_back({.length_m = length,
                          .upper_ground_elev_m = elev_along_m(facts.ground, stations[i - 1]),
                          .lower_ground_elev_m = elev_along_m(facts.ground, stations[i]),
                          .min_cover_m = value_at(facts.covers, middle),
                          .dig_price = length * rules.section.width_m * per_m3});
    }
    return pieces;
}

std::vector<NearPiece> beside_marks(const Site& site, const Polyline& line, const RouteRules& rules)
{
    std::vector<NearPiece> beside;
    for (std::size_t i = 0; i < site.marks.size(); ++i) {
        for (auto& piece : near_pieces(line, site.marks[i].line, priced_reach(site.marks[i], rules))) {
            piece.mark = i;
            beside.push_back(piece);
        }
    }
    return beside;
}

double along_m(const std::vector<NearPiece>& beside, const RouteRules& rules)
{
    std::vector<Interval> along;
    for (const auto& piece : beside) {
        if (piece.flattest_rad < rules.min_crossing_angle_rad) {
            along.push_back(piece.span);
        }
    }
    return total_m(merged(std::move(along)));
}

double flat_price_of(const RunFacts& facts, const std::vector<NearPiece>& beside, const Polyline& line,
                     const RouteRules& rules)
{
    const double length = length_m(line);
    const double hand = total_m(facts.line.hand);
    double price = rules.pipe_per_m * length + rules.hand_per_m * hand + rules.machine_per_m * (length - hand);
    for (const auto& [span, kind] : facts.line.surface) {
        price += (span.to_m - span.from_m) * rules.restore_width_m * rules.surfaces.at(kind).restore_per_m2;
    }
    for (const auto& piece : beside) { // a mark through a bend counts once
        const bool at_start = piece.crossings > 0 && !(piece.first_crossing_m > 0);
        price += rules.crossing_price * (piece.crossings - (at_start ? 1 : 0));
    }
    return price;
}

/// Bends that can be built, straight runs long enough; adds their price.
std::optional<RouteFault> bend_fault(const Polyline& line, const RouteRules& rules, double& price)
{
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
        const auto bend = bend_price(turn_rad(line[i - 1], line[i], line[i + 1]), rules);
        if (!bend) {
            return RouteFault{.text = "no fittings make this bend", .at = line[i]};
        }
        if (i > 1 && distance_m(line[i - 1], line[i]) < rules.min_run_m - 1e-9) {
            return RouteFault{.text = "too little straight pipe between two bends", .at = line[i]};
        }
        price += *bend;
    }
    return std::nullopt;
}

/// Mean height of the lower of two straight lines above the chord between its ends. One line is the lower at the upper
/// end by `first_m`, the other at the lower end by `then_m`; both at least 0.
double above_chord_m(double first_m, double then_m)
{
    return first_m > 0 && then_m > 0 ? first_m * then_m / (first_m + then_m) / 2 : 0;
}

} // namespace

std::size_t RunHash::operator()(const Run& run) const
{
    std::size_t hash = run.to_end ? 1 : 0;
    for (const double value : {run.upper.x_m, run.upper.y_m, run.lower.x_m, run.lower.y_m}) {
        constexpr std::size_t golden = 0x9E3779B97F4A7C15; // 2^64 over the golden ratio spreads neighbors apart
        hash = (hash ^ std::hash<double>{}(value)) * golden;
        hash ^= hash >> 32U;
    }
    return hash;
}

Descent descend(const TrueRun& run, double invert_elev_m, const RouteRules& rules,
                std::optional<double> highest_lower_elev_m)
{
    Descent result{.price = run.flat_price, .invert_elev_m = invert_elev_m, .too_deep_m = -rules.deepest_cut_m};
    const auto& section = rules.section;
    for (std::size_t i = 0; i < run.pieces.size(); ++i) {
        const auto& piece = run.pieces[i];
        const double upper_limit = section.invert_for_cover_m(piece.upper_ground_elev_m, piece.min_cover_m);
        const bool lowest = i + 1 == run.pieces.size() && highest_lower_elev_m.has_value();
        const double lower_limit =
            lowest ? *highest_lower_elev_m : section.invert_for_cover_m(piece.lower_ground_elev_m, piece.min_cover_m);
        const double upper = std::min(result.invert_elev_m, upper_limit);
        const double free = upper - rules.min_fall_ratio * piece.length_m;
        const double lower = std::min(free, lower_limit);
        const double cut = section.cut_m(piece.upper_ground_elev_m, upper);
        const double lower_cut = section.cut_m(piece.lower_ground_elev_m, lower);
        result.price += piece.dig_price * ((cut + lower_cut) / 2 - above_chord_m(upper_limit - upper, free - lower));
        result.too_deep_m = std::max({result.too_deep_m, cut - rules.deepest_cut_m, lower_cut - rules.deepest_cut_m,
                                      piece.lowest_invert_elev_m - lower});
        result.invert_elev_m = lower;
    }
    return result;
}

void TrueLine::keep_wedge(const Polyline& line, std::vector<TruePiece>& pieces) const
{
    double station = 0;
    double lowest = lowest_by_wedge_m(site_, source_.at, line.front(), rules_);
    for (auto& piece : pieces) {
        station += piece.length_m;
        const double next = lowest_by_wedge_m(site_, source_.at, point_at(line, station), rules_);
        piece.lowest_invert_elev_m = std::max(lowest, next);
        lowest = next;
    }
}

TrueRun TrueLine::measured(const Run& run) const
{
    const Polyline line{run.upper, run.lower};
    if (auto fault = obstacle_fault(run, source_.at, obstacles_, rules_)) {
        return {.fault = std::move(fault), .pieces = {}};
    }
    auto surfaces = surfaces_along(site_, line, rules_);
    if (auto fault = surface_fault(run, surfaces, rules_)) {
        return {.fault = std::move(fault), .pieces = {}};
    }
    auto ground = ground_.along(line, ground_step_m);
    if (!ground) {
        return {.fault = RouteFault{.text = "leaves the surveyed ground", .at = run.lower}, .pieces = {}};
    }
    const double low_elev_m = std::ranges::min_element(*ground, {}, &GroundPoint::elev_m)->elev_m;
    const bool beside_footing =
        wedge_may_bind(site_, line, rules_.section.invert_for_cut_m(low_elev_m, rules_.deepest_cut_m), rules_);
    if (beside_footing) {
        ground = ground_.along(line, wedge_step_m);
    }
    if (run.to_end) {
        const double reach = curb_reach_m(outlet_, distance_m(run.upper, run.lower), rules_);
        ground = with_curb_top_at_end(*std::move(ground), outlet_, reach);
    }
    auto covers = min_cover_along(surfaces, line, outlet_, rules_);
    const RunFacts facts{.line = dug_along(site_, line, std::move(surfaces), rules_),
                         .covers = std::move(covers),
                         .ground = *std::move(ground)};
    auto beside = beside_marks(site_, line, rules_);
    TrueRun measured{.fault = std::nullopt,
                     .pieces = pieces_of(facts, rules_),
                     .flat_price = flat_price_of(facts, beside, line, rules_),
                     .beside = std::move(beside)};
    measured.near_lot_edge = std::ranges::any_of(obstacles_, [&](const Obstacle& obstacle) {
        return obstacle.waiver == Waiver::at_lot_end && overlap(bounds(std::span(&run.lower, 1)), obstacle.reach);
    });
    if (beside_footing) {
        keep_wedge(line, measured.pieces);
    }
    measured.along_m = along_m(measured.beside, rules_);
    measured.flat_price += rules_.parallel_per_m * measured.along_m;
    return measured;
}

const TrueRun& TrueLine::run(const Run& run)
{
    const auto known = runs_.find(run);
    return known != runs_.end() ? known->second : runs_.emplace(run, measured(run)).first->second;
}

/// A polish asks of tens of thousands of runs, most of them once.
void TrueLine::forget_many()
{
    constexpr std::size_t most_known = 4096;
    if (runs_.size() > most_known) {
        runs_.clear();
    }
}

void BesideMarks::add(const TrueRun& run, double length_m)
{
    for (const auto& piece : run.beside) {
        pieces_.push_back(shifted(piece, length_m_));
    }
    by_heading_m_ += run.along_m;
    length_m_ += length_m;
}

double BesideMarks::price(const Site& site, const RouteRules& rules)
{
    if (pieces_.empty()) {
        return 0;
    }
    std::ranges::stable_sort(pieces_, {}, &NearPiece::mark);
    std::vector<Interval> along;
    for (auto from = pieces_.begin(); from != pieces_.end();) {
        const auto to = std::find_if(from, pieces_.end(), [&](const auto& piece) { return piece.mark != from->mark; });
        const auto spans =
            stretches_along({from, to}, priced_reach(site.marks[from->mark], rules), rules.min_crossing_angle_rad);
        along.insert(along.end(), spans.begin(), spans.end());
        from = to;
    }
    return rules.parallel_per_m * std::max(0.0, total_m(merged(std::move(along))) - by_heading_m_);
}

double least_price_per_m(const RouteRules& rules)
{
    double restore_per_m2 = std::numeric_limits<double>::infinity();
    for (const auto& [kind, surface] : rules.surfaces) {
        restore_per_m2 = std::min(restore_per_m2, surface.restore_per_m2);
    }
    return rules.pipe_per_m + std::min(rules.machine_per_m, rules.hand_per_m) +
           (std::isfinite(restore_per_m2) ? restore_per_m2 * rules.restore_width_m : 0);
}

TrueCost TrueLine::cost(const Polyline& downstream, const EndPoint& end, double max_price)
{
    forget_many();
    TrueCost total;
    total.fault = bend_fault(downstream, rules_, total.price);
    double rest_m = length_m(downstream);
    BesideMarks beside;
    double invert = source_.highest_invert_elev_m.value_or(std::numeric_limits<double>::infinity());
    for (std::size_t i = 1; i < downstream.size() && !total.fault; ++i) {
        if (const double least = total.price + least_per_m_ * rest_m; least > max_price) {
            total.price = least;
            return total;
        }
        rest_m -= distance_m(downstream[i - 1], downstream[i]);
        const bool last = i + 1 == downstream.size();
        const TrueRun& part = run({.upper = downstream[i - 1], .lower = downstream[i], .to_end = last});
        total.fault = part.fault;
        if (part.near_lot_edge && !last) {
            total.fault = corner_fault(downstream[i - 1], downstream[i], downstream[i + 1], obstacles_, rules_);
        }
        beside.add(part, distance_m(downstream[i - 1], downstream[i]));
        const auto laid = descend(part, invert, rules_, last ? std::optional(end.highest_invert_elev_m) : std::nullopt);
        invert = laid.invert_elev_m;
        total.price += laid.price;
        total.missing_m = std::max(total.missing_m, laid.too_deep_m);
    }
    total.price += beside.price(site_, rules_);
    // Rounding of a line that only just drains is no missing fall.
    const double missing = std::max(total.missing_m, end.lowest_invert_elev_m + end.reserve_m - invert);
    total.missing_m = missing > 1e-9 ? missing : 0;
    return total;
}

} // namespace trenchwright
