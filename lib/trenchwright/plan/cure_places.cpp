#include "trenchwright/plan/cure_places.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/lay_trench.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/profile/corridor.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/ends.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

/// Places on a circle.
std::vector<Point> circle(const Point& center, double radius_m)
{
    constexpr int directions = 16;
    std::vector<Point> places;
    for (int i = 0; i < directions; ++i) {
        const double angle = 2 * std::numbers::pi * i / directions;
        places.push_back(
            {.x_m = center.x_m + radius_m * std::cos(angle), .y_m = center.y_m + radius_m * std::sin(angle)});
    }
    return places;
}

bool paved_at(const CureTrials& trials, const Point& p)
{
    const auto& surfaces = trials.rules().route.surfaces;
    const auto rule = surfaces.find(cover_at(trials.site(), trials.outlet(), p, trials.rules().route).kind);
    return rule != surfaces.end() && paved(rule->second);
}

/// Ground raised wherever the pipe would lie above its highest invert; the rest of the problem as it is.
struct Fill {
    Interval span;
    Point at;
    double most_m = 0;
    std::vector<GroundPoint> ground;
};

std::optional<Fill> fill_over(const CureTrials& trials, const TrenchPlan& trench, const ProfileProblem& problem)
{
    const auto rooms = corridor_of(problem).rooms;
    Fill fill{.span = {problem.ground.back().station_m, 0}, .at = {}, .most_m = 0, .ground = {}};
    for (const auto& room : rooms) {
        const double lacks = std::max(0.0, -room.max_m);
        const double ground = elev_along_m(problem.ground, room.station_m);
        const Point at = point_at(trench.line.route.line, room.station_m);
        if (lacks > 0 && paved_at(trials, at)) {
            return std::nullopt;
        }
        if (lacks > 0) {
            fill.span.from_m = std::min(fill.span.from_m, room.station_m);
            fill.span.to_m = std::max(fill.span.to_m, room.station_m);
        }
        if (lacks > fill.most_m) {
            fill.most_m = lacks;
            fill.at = at;
        }
        fill.ground.push_back({.station_m = room.station_m, .elev_m = ground + lacks});
    }
    return fill;
}

} // namespace

std::optional<Point> place_about(const CureTrials& trials, int steps)
{
    const auto* center = std::get_if<Point>(&trials.outlet().place);
    if (center == nullptr) {
        return std::nullopt;
    }
    std::optional<Point> best;
    double best_elev = 0;
    for (const auto& p : circle(*center, steps * move_step_m)) {
        auto moved = trials.outlet();
        moved.place = p;
        const auto end = end_at(trials.site(), trials.ground(), moved, trials.rules().route, p, trials.rules().units);
        if (!std::holds_alternative<EndPoint>(end)) {
            continue;
        }
        const double elev =
            rests_on_ground(moved) ? trials.ground().elev_m(p).value_or(0) : distance_m(p, trials.source().at);
        if (!best || elev < best_elev) {
            best = p;
            best_elev = elev;
        }
    }
    return best;
}

std::optional<RaisedGround> raised_ground(const CureTrials& trials, const JustDrains& drains)
{
    auto trench = drains.trench;
    auto& problem = trench.laid.problem;
    problem = with_all_cover_taken(std::move(problem)); // raised only as far as it takes
    problem.lowest_outlet_invert_elev_m += drains.lowered_m;
    problem.limits.clear();
    trench.line.route.end.lowest_invert_elev_m = problem.lowest_outlet_invert_elev_m;
    if (problem.lowest_outlet_invert_elev_m > problem.highest_outlet_invert_elev_m) {
        return std::nullopt;
    }
    auto fill = fill_over(trials, trench, problem);
    const bool within = fill && fill->most_m > 0 && fill->most_m <= trials.rules().cures.max_raise_m;
    // At its end the outlet's own height counts, not the ground beside it.
    if (!within || fill->span.from_m <= 0) {
        return std::nullopt;
    }
    problem.ground = std::move(fill->ground);
    if (lay_trench(trench, trials.site(), trials.rules())) {
        return std::nullopt;
    }
    return RaisedGround{.span = fill->span, .most_m = fill->most_m, .trench = std::move(trench), .at = fill->at};
}

} // namespace trenchwright
