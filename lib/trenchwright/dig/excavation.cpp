#include "trenchwright/dig/excavation.hpp"

#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

/// The pieces of the trench inside a stretch.
std::vector<CutRun> runs_in(const ProfileProblem& problem, const Profile& profile, const Interval& span)
{
    std::vector<CutRun> inside;
    for (const auto& run : cut_runs(problem, profile, {span.from_m, span.to_m})) {
        if (run.span.from_m >= span.from_m && run.span.to_m <= span.to_m) {
            inside.push_back(run);
        }
    }
    return inside;
}

} // namespace

std::vector<CutRun> cut_runs(const ProfileProblem& problem, const Profile& profile,
                             const std::vector<double>& extra_stations_m)
{
    auto stations = break_stations_m(problem, profile.points);
    const double length = problem.ground.back().station_m;
    stations.insert(stations.end(), extra_stations_m.begin(), extra_stations_m.end());
    std::erase_if(stations, [&](double station_m) { return !(station_m >= 0 && station_m <= length); });
    std::ranges::sort(stations);
    std::vector<double> zeros;
    for (std::size_t i = 1; i < stations.size(); ++i) {
        const double a = cut_at_m(problem, profile, stations[i - 1]);
        const double b = cut_at_m(problem, profile, stations[i]);
        if (a * b < 0) {
            zeros.push_back(stations[i - 1] + (stations[i] - stations[i - 1]) * a / (a - b));
        }
    }
    stations.insert(stations.end(), zeros.begin(), zeros.end());
    std::ranges::sort(stations);
    std::vector<CutRun> runs;
    for (std::size_t i = 1; i < stations.size(); ++i) {
        if (stations[i] > stations[i - 1]) {
            runs.push_back({.span = {stations[i - 1], stations[i]},
                            .from_cut_m = cut_at_m(problem, profile, stations[i - 1]),
                            .to_cut_m = cut_at_m(problem, profile, stations[i])});
        }
    }
    return runs;
}

std::vector<ExceedingSpan> cut_from(const ProfileProblem& problem, const Profile& profile, double limit_m)
{
    std::vector<ExceedingSpan> spans;
    for (const auto& run : cut_runs(problem, profile, {})) {
        const double low = std::min(run.from_cut_m, run.to_cut_m);
        const double high = std::max(run.from_cut_m, run.to_cut_m);
        if (high < limit_m - rounding_m) {
            continue;
        }
        Interval span = run.span;
        if (low < limit_m && high > low) {
            const double share = std::clamp((limit_m - run.from_cut_m) / (run.to_cut_m - run.from_cut_m), 0.0, 1.0);
            const double edge = run.span.from_m + share * (run.span.to_m - run.span.from_m);
            (run.to_cut_m > run.from_cut_m ? span.from_m : span.to_m) = edge;
        }
        const bool rises = run.to_cut_m > run.from_cut_m;
        spans.push_back({.span = span, .max_m = high, .max_station_m = rises ? run.span.to_m : run.span.from_m});
    }
    return joined(std::move(spans));
}

double side_slope_volume_m3(const ProfileProblem& problem, const Profile& profile, Interval span,
                            double side_slope_ratio)
{
    double volume = 0;
    for (const auto& run : runs_in(problem, profile, span)) {
        const double middle = (run.from_cut_m + run.to_cut_m) / 2;
        const double squares = run.from_cut_m * run.from_cut_m + 4 * middle * middle + run.to_cut_m * run.to_cut_m;
        volume += side_slope_ratio * (run.span.to_m - run.span.from_m) * squares / 6;
    }
    return volume;
}

double face_area_m2(const ProfileProblem& problem, const Profile& profile, Interval span)
{
    double area = 0;
    for (const auto& run : runs_in(problem, profile, span)) {
        area += (run.span.to_m - run.span.from_m) * (run.from_cut_m + run.to_cut_m); // two faces of the mean cut
    }
    return area;
}

} // namespace trenchwright
