#include "trenchwright/plan/outlet_uncertainty.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/surface_uncertainty.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <variant>

namespace trenchwright {

namespace {

/// Places nearer to each other than this along a trench say the same.
constexpr double apart_m = 0.5;
/// The tightest places are asked; the next ones have more room.
constexpr std::size_t max_places = 80;

const TrenchPlan& trench_of(const OutletOutcome& outcome, std::size_t source)
{
    return std::get<TrenchPlan>(outcome.by_source.at(source));
}

/// The least-fall line's start under station 0 of a trench, from the outlet's lowest invert up through every trench
/// below.
double base_elev_m(const OutletOutcome& outcome, const TrenchPlan& trench, const Rules& rules)
{
    if (!trench.joins) {
        return trench.line.route.end.lowest_invert_elev_m;
    }
    return base_elev_m(outcome, trench_of(outcome, trench.joins->source), rules) +
           rules.route.min_fall_ratio * trench.joins->station_m + rules.water.junction.rise_m;
}

void add_places(std::vector<FallPlace>& places, const OutletOutcome& outcome, const TrenchPlan& trench,
                const Rules& rules)
{
    const auto& problem = trench.laid.problem;
    const double base = base_elev_m(outcome, trench, rules);
    const double length = problem.ground.back().station_m;
    const auto room_m = [&](double station, double highest_elev_m) {
        return highest_elev_m - base - rules.route.min_fall_ratio * station;
    };
    for (const double station : break_stations_m(problem, {})) {
        const double ground = ground_at_m(problem.ground, station);
        const double highest = problem.section.invert_for_cover_m(ground, max_at(problem.min_cover_m, station));
        places.push_back({.at = point_at(trench.line.route.line, station),
                          .station_m = station,
                          .source = trench.source,
                          .spare_m = room_m(station, highest)});
    }
    if (problem.highest_source_invert_elev_m < problem.ground.back().elev_m) {
        places.push_back({.at = trench.line.route.line.back(),
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
        if (!said && kept.size() < max_places) {
            kept.push_back(place);
        }
    }
    return kept;
}

std::vector<FallPlace> places_of(const OutletOutcome& outcome, const PlanBasis& plan)
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
        const auto& trunk = trunk_of(outcome, trench_of(outcome, places[i].source));
        const auto& at = trunk.line.route.end.at;
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

std::string why_not_fitting(const RoughnessCheck& check, const Rules& rules)
{
    const UnitSystem u = rules.units;
    return fmt::format("the {} shots within {} of its trenches are missed by {} (root mean square) by the surface of "
                       "the others, where the roughness of the whole lot makes that {}: one roughness does not serve "
                       "both",
                       check.shots, length_text(rules.surface_uncertainty.beside_m, u), error_text(check.missed_m, u),
                       error_text(check.expected_m, u));
}

std::string why_no_surface(const PlanBasis& plan)
{
    return plan.site.dem ? "the ground is a grid, of which no height can be left out to see by how much the others "
                           "miss it"
                         : "no shot can be left out to see by how much the others miss it";
}

/// The doubt of one outlet, or in words why there is none.
std::variant<OutletUncertainty, std::string> uncertainty_of(const OutletOutcome& outcome,
                                                            const std::vector<FallPlace>& places,
                                                            const SurfaceUncertainty& surface, const Rules& rules)
{
    std::vector<Polyline> lines;
    for (const auto* trench : trenches_of(&outcome)) {
        lines.push_back(trench->line.route.line);
    }
    if (const auto check = surface.beside(lines); !check.fits) {
        return why_not_fitting(check, rules);
    }
    std::vector<Point> at;
    for (const auto& place : places) {
        at.push_back(place.at);
    }
    OutletUncertainty uncertainty{.fall = fall_uncertainty(places, surface.covariance_m2(at), rules.uncertainty_draws)};
    uncertainty.place = places[uncertainty.fall.place];
    if (uncertainty.fall.next) {
        uncertainty.next_place = places[uncertainty.fall.next->place];
    }
    return uncertainty;
}

/// On the trench where it is decided.
void warn_of_chance(const PlanBasis& plan, OutletOutcome& outcome)
{
    const auto& uncertainty = *outcome.uncertainty;
    const auto& rules = plan.job.rules;
    if (!(uncertainty.fall.drains_share < rules.min_chance_share)) {
        return;
    }
    auto& trench = std::get<TrenchPlan>(outcome.by_source.at(uncertainty.place.source));
    trench.findings.push_back(finding(
        Severity::warning, "levels.min_chance",
        fmt::format("The chance that {} drains is {}, under {:.0f} %: {}. Take more levels there before it is chosen.",
                    plan.site.outlets[outcome.outlet].name, probability_text(uncertainty.fall.drains_share),
                    100 * rules.min_chance_share, tight_text(plan, uncertainty)),
        uncertainty.place.at, uncertainty.place.station_m));
}

} // namespace

std::string tight_text(const PlanBasis& plan, const OutletUncertainty& uncertainty)
{
    const UnitSystem u = plan.job.rules.units;
    return fmt::format(
        "it is likeliest to run short at {} of the trench of {}, with {} of extra fall where the ground may "
        "be off by {} (root mean square)",
        station_text(uncertainty.place.station_m, u), plan.site.sources[uncertainty.place.source].id,
        small_text(uncertainty.fall.spare_m, u), error_text(uncertainty.fall.error_m, u));
}

OutletOutcome with_uncertainty(OutletOutcome outcome, const PlanBasis& basis,
                               const std::optional<SurfaceUncertainty>& surface)
{
    const auto places = outcome.works ? places_of(outcome, basis) : std::vector<FallPlace>{};
    if (places.empty()) {
        return outcome;
    }
    auto made = surface ? uncertainty_of(outcome, places, *surface, basis.job.rules) : why_no_surface(basis);
    if (auto* why = std::get_if<std::string>(&made)) {
        outcome.why_no_uncertainty = std::move(*why);
        return outcome;
    }
    outcome.uncertainty = std::get<OutletUncertainty>(std::move(made));
    warn_of_chance(basis, outcome);
    return outcome;
}

std::string error_text(double error_m, UnitSystem units)
{
    const auto text = small_text(error_m, units);
    const bool hidden = error_m > 0 && text == small_text(0, units);
    return !hidden ? text : units == UnitSystem::us ? "less than 0.1 in" : "less than 1 mm";
}

std::string probability_text(double share)
{
    if (share > 0.99) {
        return "over 99 %";
    }
    return share < 0.01 ? "under 1 %" : fmt::format("{:.0f} %", share * 100);
}

} // namespace trenchwright
