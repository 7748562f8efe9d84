#include "trenchwright/profile/profile.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

double elev_of(const GroundPoint& p)
{
    return p.elev_m;
}

double elev_of(const GradePoint& p)
{
    return p.invert_elev_m;
}

template <class P> double elev_at_m(std::span<const P> points, double station_m)
{
    if (points.empty() || std::isnan(station_m)) {
        throw Error(ErrorKind::internal, fmt::format("no elevation at station {}", station_m));
    }
    const auto next = std::upper_bound(points.begin(), points.end(), station_m,
                                       [](double station, const P& p) { return station < p.station_m; });
    if (next == points.begin() || next == points.end()) {
        return elev_of(next == points.begin() ? points.front() : points.back());
    }
    const P& a = *(next - 1);
    const double share = (station_m - a.station_m) / (next->station_m - a.station_m);
    return elev_of(a) + share * (elev_of(*next) - elev_of(a));
}

void add_ends(std::vector<double>& stations, const std::vector<SpanValue>& spans)
{
    for (const auto& [span, value] : spans) {
        stations.push_back(span.from_m);
        stations.push_back(span.to_m);
    }
}

} // namespace

double invert_at_m(std::span<const GradePoint> points, double station_m)
{
    return elev_at_m(points, station_m);
}

double ground_at_m(std::span<const GroundPoint> ground, double station_m)
{
    return elev_at_m(ground, station_m);
}

std::vector<double> break_stations_m(const ProfileProblem& problem, std::span<const GradePoint> points)
{
    check_problem(problem);
    std::vector<double> stations;
    for (const auto& p : problem.ground) {
        stations.push_back(p.station_m);
    }
    for (const auto& p : points) {
        stations.push_back(p.station_m);
    }
    add_ends(stations, problem.min_cover_m);
    add_ends(stations, problem.dig_cost_per_m3);
    return distinct_stations_m(std::move(stations), problem.ground.back().station_m);
}

double dig_cost(const ProfileProblem& problem, std::span<const GradePoint> points)
{
    const auto stations = break_stations_m(problem, points);
    const auto cut_at = [&](double station) {
        return problem.section.cut_m(ground_at_m(problem.ground, station), invert_at_m(points, station));
    };
    double sum = 0;
    for (std::size_t i = 1; i < stations.size(); ++i) {
        const double from = stations[i - 1];
        const double to = stations[i];
        const double rate = value_at(problem.dig_cost_per_m3, (from + to) / 2);
        sum += rate * problem.section.width_m * (to - from) * (cut_at(from) + cut_at(to)) / 2;
    }
    return sum;
}

Profile lay_at_cover(const ProfileProblem& problem)
{
    Profile profile;
    for (const double station : break_stations_m(problem, {})) {
        const double ground = ground_at_m(problem.ground, station);
        const double cover = max_at(problem.min_cover_m, station);
        profile.points.push_back(
            {.station_m = station, .invert_elev_m = problem.section.invert_for_cover_m(ground, cover)});
    }
    auto& points = profile.points;
    const double at_cover = points.front().invert_elev_m;
    const double end =
        std::max(std::min(at_cover, problem.highest_outlet_invert_elev_m), problem.lowest_outlet_invert_elev_m);
    if (end != at_cover) {
        constexpr double min_grade_m = 0.05;                                 // nobody lays a shorter one
        const double to_m = std::max(min_grade_m, std::abs(at_cover - end)); // at 45 degrees or flatter
        points.front().invert_elev_m = end;
        const auto far = std::find_if(points.begin() + 1, points.end() - 1,
                                      [&](const GradePoint& p) { return p.station_m >= to_m; });
        points.erase(points.begin() + 1, far);
    }
    profile.dig_cost = dig_cost(problem, profile.points);
    return profile;
}

} // namespace trenchwright
