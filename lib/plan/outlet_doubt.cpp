#include "plan/outlet_doubt.hpp"

#include "geom/measure.hpp"
#include "ground/surface_doubt.hpp"
#include "plan/plan.hpp"
#include "plan/report.hpp"
#include "profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Places nearer to each other than this along a trench say the same.
constexpr double apart_m = 0.5;
/// The tightest places are asked; the next ones have more room.
constexpr std::size_t most_places = 80;

const TrenchPlan& trench_of(const OutletOutcome& outcome, std::size_t source)
{
    return std::get<TrenchPlan>(outcome.by_source.at(source));
}

/// The least-fall line's start under station 0 of a trench, from the outlet's lowest invert up through every trench
/// below.
double base_elev_m(const OutletOutcome& outcome, const TrenchPlan& trench, const Rules& rules)
{
    if (!trench.joins) {
        return trench.route.end.lowest_invert_elev_m;
    }
    return base_elev_m(outcome, trench_of(outcome, trench.joins->source), rules) +
           rules.route.least_fall_ratio * trench.joins->station_m + rules.water.junction.rise_m;
}

/// The trench at whose lower end the water leaves.
std::size_t trunk_of(const OutletOutcome& outcome, const TrenchPlan& trench)
{
    return trench.joins ? trunk_of(outcome, trench_of(outcome, trench.joins->source)) : trench.source;
}

void add_places(std::vector<FallPlace>& places, const OutletOutcome& outcome, const TrenchPlan& trench,
                const Rules& rules)
{
    const auto& problem = trench.problem;
    const double base = base_elev_m(outcome, trench, rules);
    const double length = problem.ground.back().station_m;
    const auto room_m = [&](double station, double highest_elev_m) {
        return highest_elev_m - base - rules.route.least_fall_ratio * station;
    };
    for (const double station : break_stations_m(problem, {})) {
        const double ground = ground_at_m(problem.ground, station);
        const double highest = problem.section.invert_for_cover_m(ground, most_at(problem.least_cover_m, station));
        places.push_back({.at = point_at(trench.route.line, station),
                          .station_m = station,
                          .source = trench.source,
                          .spare_m = room_m(station, highest)});
    }
    if (problem.highest_source_invert_elev_m < problem.ground.back().elev_m) {
        places.push_back({.at = trench.route.line.back(),
                          .station_m = length,
                          .source = trench.source,
                          .spare_m = room_m(length, problem.highest_source_invert_elev_m),
                          .fixed = true});
    }
}

/// The places with the least room, none near a tighter one of the same trench.
std::vector<FallPlace> tightest(std::vector<FallPlace> places)
{
    std::ranges::stable_sort(places, {}, &FallPlace::spare_m);
    std::vector<FallPlace> kept;
    for (const auto& place : places) {
        const bool said = std::ranges::any_of(kept, [&](const FallPlace& tighter) {
            return tighter.source == place.source && tighter.fixed == place.fixed &&
                   std::abs(tighter.station_m - place.station_m) < apart_m;
        });
        if (!said && kept.size() < most_places) {
            kept.push_back(place);
        }
    }
    return kept;
}

/// An outlet without an invert of its own lies as high as the ground there.
bool rests_on_ground(const Outlet& outlet)
{
    return !outlet.lowest_invert_elev_m && (outlet.kind == OutletKind::popup || outlet.kind == OutletKind::swale);
}

std::vector<FallPlace> places_of(const OutletOutcome& outcome, const JobPlan& plan)
{
    std::vector<FallPlace> places;
    for (const auto& by : outcome.by_source) {
        if (const auto& trench = std::get<TrenchPlan>(by); !trench.pressure) {
            add_places(places, outcome, trench, plan.job.rules);
        }
    }
    places = tightest(std::move(places));
    if (!rests_on_ground(plan.site.outlets[outcome.outlet])) {
        return places;
    }
    const std::size_t count = places.size();
    for (std::size_t i = 0; i < count; ++i) {
        const auto& trunk = trench_of(outcome, trunk_of(outcome, trench_of(outcome, places[i].source)));
        const auto& at = trunk.route.end.at;
        const auto known = std::ranges::find_if(places.begin() + static_cast<std::ptrdiff_t>(count), places.end(),
                                                [&](const FallPlace& place) { return place.at == at; });
        if (known == places.end()) {
            constexpr double no_limit_m = 1e3; // the place only carries the outlet
            places.push_back({.at = at, .station_m = 0, .source = trunk.source, .spare_m = no_limit_m});
            places[i].end = places.size() - 1;
        } else {
            places[i].end = static_cast<std::size_t>(known - places.begin());
        }
    }
    return places;
}

std::string outlet_doubt_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& doubt = *outcome.doubt;
    const UnitSystem u = plan.job.rules.units;
    std::string text = fmt::format(
        "{}: laid at the least fall and cover it has {} to spare; the ground may be off by {} (root mean square). "
        "So laid it drains in {} of {} draws of the ground.",
        plan.site.outlets[outcome.outlet].name, small_text(doubt.fall.spare_m, u), small_text(doubt.fall.error_m, u),
        probability_text(doubt.fall.drains_share), plan.job.rules.doubt_draws.draws);
    if (doubt.next_place) {
        const auto native = to_native(plan.site.frame, doubt.next_place->at);
        text +=
            fmt::format(" Next shot: on the trench of {} at {}, ({:.2f}, {:.2f}); it would leave {:.0f} % of the "
                        "doubt.",
                        plan.site.sources[doubt.next_place->source].id, station_text(doubt.next_place->station_m, u),
                        native.x, native.y, 100 * doubt.fall.next->doubt_after_share / doubt.fall.doubt_share);
    }
    return text;
}

} // namespace

void add_doubts(JobPlan& plan)
{
    const auto& rules = plan.job.rules;
    const auto surface = SurfaceDoubt::of(plan.ground, plan.ground.lone_spots(), rules.surface_doubt);
    for (auto& outcome : plan.outcomes) {
        if (!surface || !outcome.works) {
            continue;
        }
        const auto places = places_of(outcome, plan);
        if (places.empty()) {
            continue;
        }
        std::vector<Point> at;
        for (const auto& place : places) {
            at.push_back(place.at);
        }
        OutletDoubt doubt{.fall = fall_doubt(places, surface->covariance_m2(at), rules.doubt_draws)};
        if (doubt.fall.next) {
            doubt.next_place = places[doubt.fall.next->place];
        }
        outcome.doubt = doubt;
    }
}

std::string probability_text(double share)
{
    if (share > 0.99) {
        return "over 99 %";
    }
    return share < 0.01 ? "under 1 %" : fmt::format("{:.0f} %", share * 100);
}

std::string doubt_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& outcome : plan.outcomes) {
        if (outcome.doubt) {
            text += wrapped(outlet_doubt_text(plan, outcome), page_width, 4) + "\n";
        }
    }
    if (text.empty()) {
        return "Not known: the ground is a grid, or no spot of it can be left out to see by how much the others miss "
               "it.\n";
    }
    return text;
}

} // namespace trenchwright
