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
    add_ends(stations, problem.wanted_cover_m);
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

} // namespace trenchwright
