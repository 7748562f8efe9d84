#include "trenchwright/dig/shallow.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

/// Half a millimeter is rounding of the layout, no lack of cover.
constexpr double noticeable_m = 0.0005;

constexpr std::string_view any_pipe = "any";

double cover_at_m(const ProfileProblem& problem, const Profile& profile, double station_m)
{
    return problem.section.cover_m(ground_at_m(problem.ground, station_m), invert_at_m(profile.points, station_m));
}

/// The stretch of a straight piece of cover that lies below a limit.
Interval below(const Interval& span, double from_m, double to_m, double limit_m)
{
    const double share = from_m != to_m ? (limit_m - from_m) / (to_m - from_m) : 0;
    const double meets_m = span.from_m + std::clamp(share, 0.0, 1.0) * (span.to_m - span.from_m);
    return {from_m < limit_m ? span.from_m : meets_m, to_m < limit_m ? span.to_m : meets_m};
}

void add(std::vector<ShallowStretch>& stretches, ShallowStretch more)
{
    constexpr double touching_m = 1e-6;
    const bool goes_on = !stretches.empty() && stretches.back().kind == more.kind &&
                         stretches.back().wanted_m == more.wanted_m &&
                         more.span.from_m - stretches.back().span.to_m < touching_m;
    if (!goes_on) {
        stretches.push_back(std::move(more));
        return;
    }
    auto& last = stretches.back();
    last.span.to_m = more.span.to_m;
    if (more.min_cover_m < last.min_cover_m) {
        last.min_cover_m = more.min_cover_m;
        last.min_station_m = more.min_station_m;
    }
}

} // namespace

std::vector<ClassedStretch> classed_stretches(const SurfaceSpans& surfaces, const RouteRules& rules)
{
    std::vector<ClassedStretch> stretches;
    for (const auto& [span, kind] : surfaces) {
        const auto& asked = rules.surfaces.at(kind).pipe_class;
        if (!asked.empty() && asked != any_pipe) {
            stretches.push_back({.span = span, .kind = kind, .pipe_class = asked});
        }
    }
    return stretches;
}

RouteRules with_lowest_cover(RouteRules rules)
{
    for (auto& [kind, surface] : rules.surfaces) {
        if (surface.lowest_cover_m > 0) {
            surface.min_cover_m = std::min(surface.min_cover_m, surface.lowest_cover_m);
        }
    }
    return rules;
}

double lowest_cover_saves_m(const RouteRules& rules)
{
    double most = 0;
    for (const auto& [kind, surface] : rules.surfaces) {
        if (surface.may_enter && surface.lowest_cover_m > 0) {
            most = std::max(most, surface.min_cover_m - surface.lowest_cover_m);
        }
    }
    return most;
}

std::vector<ShallowStretch> shallow_stretches(const SurfaceSpans& surfaces, const Polyline& line, const Outlet& outlet,
                                              const ProfileProblem& problem, const Profile& profile,
                                              const RouteRules& wanted)
{
    std::vector<ShallowStretch> stretches;
    const auto covers = min_cover_along(surfaces, line, outlet, wanted);
    const auto breaks = break_stations_m(problem, profile.points);
    for (const auto& [span, wanted_m] : covers) {
        const auto on = std::ranges::find_if(surfaces, [middle = (span.from_m + span.to_m) / 2](const auto& surface) {
            return middle <= surface.first.to_m;
        });
        std::vector<double> stations{span.from_m, span.to_m};
        std::ranges::copy_if(breaks, std::back_inserter(stations),
                             [&, at = span](double station) { return station > at.from_m && station < at.to_m; });
        std::ranges::sort(stations);
        for (std::size_t i = 1; i < stations.size(); ++i) {
            const double from_m = cover_at_m(problem, profile, stations[i - 1]);
            const double to_m = cover_at_m(problem, profile, stations[i]);
            const double limit_m = wanted_m - noticeable_m;
            const auto part = below({stations[i - 1], stations[i]}, from_m, to_m, limit_m);
            if (std::min(from_m, to_m) < limit_m && part.to_m > part.from_m && on != surfaces.end()) {
                add(stretches, {.span = part,
                                .kind = on->second,
                                .wanted_m = wanted_m,
                                .min_cover_m = std::min(from_m, to_m),
                                .min_station_m = from_m < to_m ? stations[i - 1] : stations[i]});
            }
        }
    }
    return stretches;
}

} // namespace trenchwright
