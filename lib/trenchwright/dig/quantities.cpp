#include "trenchwright/dig/quantities.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// Stations that differ by less are one row of a table and one end of a stretch: a thousandth of a millimeter.
constexpr double same_row_m = 1e-6;

/// Rows of a depth table nearer to each other would be printed with the same station: see station_text.
constexpr double same_printed_m = 0.01;

double length_of(const ProfileProblem& problem)
{
    return problem.ground.back().station_m;
}

/// A stretch may overshoot an end by rounding, no more.
Interval within_route(const ProfileProblem& problem, const Interval& span)
{
    const double length = length_of(problem);
    const bool inside = span.from_m >= -same_row_m && span.from_m <= span.to_m && span.to_m <= length + same_row_m;
    if (!inside) {
        throw Error(ErrorKind::internal, fmt::format("trench volume: stretch {} to {} m outside the route of {} m",
                                                     span.from_m, span.to_m, length));
    }
    return {std::clamp(span.from_m, 0.0, length), std::clamp(span.to_m, 0.0, length)};
}

double fall_downstream_of(const Profile& profile, double station_m)
{
    const auto& points = profile.points;
    auto next = std::lower_bound(points.begin(), points.end(), station_m,
                                 [](const GradePoint& p, double station) { return p.station_m < station; });
    next = std::clamp(next, points.begin() + 1, points.end() - 1);
    const auto before = next - 1;
    return (next->invert_elev_m - before->invert_elev_m) / (next->station_m - before->station_m);
}

bool in_a_zone(const std::vector<HandDigZone>& zones, double station_m)
{
    return std::any_of(zones.begin(), zones.end(), [&](const auto& zone) {
        return zone.span.from_m - same_row_m <= station_m && station_m <= zone.span.to_m + same_row_m;
    });
}

void check_profile(const Profile& profile)
{
    if (profile.points.size() < 2) {
        throw Error(ErrorKind::internal, "dig: a profile needs two points or more");
    }
}

std::vector<double> table_stations(const ProfileProblem& problem, const Profile& profile,
                                   const std::vector<HandDigZone>& zones, const std::vector<double>& extra, double step)
{
    const double length = length_of(problem);
    std::vector<double> stations{0, length};
    const auto add = [&](double station) {
        const bool inside = station >= -same_row_m && station <= length + same_row_m;
        if (!inside) {
            throw Error(ErrorKind::internal,
                        fmt::format("depths: station {} outside the route of {}", station, length));
        }
        stations.push_back(std::clamp(station, 0.0, length));
    };
    for (long long i = 1; static_cast<double>(i) * step < length; ++i) {
        add(static_cast<double>(i) * step);
    }
    for (const auto& zone : zones) {
        add(zone.span.from_m);
        add(zone.span.to_m);
    }
    for (const auto& p : profile.points) {
        add(p.station_m);
    }
    std::for_each(problem.bend_stations_m.begin(), problem.bend_stations_m.end(), add);
    std::for_each(extra.begin(), extra.end(), add);
    std::sort(stations.begin(), stations.end());
    const auto same = [](double a, double b) { return b - a < same_printed_m; };
    stations.erase(std::unique(stations.begin(), stations.end(), same), stations.end());
    stations.back() = length;
    return stations;
}

void measure_depths(Quantities& q, const ProfileProblem& problem, const Profile& profile)
{
    q.min_cut_m = std::numeric_limits<double>::infinity();
    q.max_cut_m = -std::numeric_limits<double>::infinity();
    for (const double station : break_stations_m(problem, profile.points)) {
        const double cut = cut_at_m(problem, profile, station);
        q.min_cut_m = std::min(q.min_cut_m, cut);
        if (cut > q.max_cut_m) {
            q.max_cut_m = cut;
            q.max_cut_station_m = station;
        }
    }
}

void measure_by_method(Quantities& q, const ProfileProblem& problem, const Profile& profile,
                       std::vector<HandDigZone>& zones)
{
    std::vector<Interval> by_hand;
    for (auto& zone : zones) {
        zone.volume_m3 = trench_volume_m3(problem, profile, zone.span);
        by_hand.push_back(within_route(problem, zone.span));
        q.hand_cut_m3 += zone.volume_m3;
    }
    q.hand_length_m = total_m(by_hand);
    const auto by_machine = minus({{0, q.length_m}}, by_hand);
    q.machine_length_m = total_m(by_machine);
    for (const auto& span : by_machine) {
        q.machine_cut_m3 += trench_volume_m3(problem, profile, span);
    }
}

double pipe_length_m(const Profile& profile)
{
    double sum = 0;
    for (std::size_t i = 1; i < profile.points.size(); ++i) {
        sum += std::hypot(profile.points[i].station_m - profile.points[i - 1].station_m,
                          profile.points[i].invert_elev_m - profile.points[i - 1].invert_elev_m);
    }
    return sum;
}

void measure_fill(Quantities& q, const TrenchSection& section, const SoilRules& soil)
{
    const double cut = q.machine_cut_m3 + q.hand_cut_m3;
    const double radius = section.outside_diameter_m / 2;
    q.bedding_m3 = section.width_m * section.bedding_m * q.length_m;
    q.pipe_m3 = std::numbers::pi * radius * radius * q.pipe_length_m;
    q.backfill_m3 = cut - q.bedding_m3 - q.pipe_m3;
    if (!(q.backfill_m3 >= 0)) {
        throw Error(ErrorKind::input, fmt::format("a trench {} m wide has no room for its pipe of {} m",
                                                  section.width_m, section.outside_diameter_m));
    }
    const double goes_back = q.backfill_m3 / (1 - soil.shrink_ratio);
    q.haul_loose_m3 = std::max(0.0, cut - goes_back) * (1 + soil.swell_ratio);
}

void check_soil(const SoilRules& soil, double restore_width_m)
{
    const bool swells = soil.swell_ratio >= 0 && std::isfinite(soil.swell_ratio);
    const bool shrinks = soil.shrink_ratio >= 0 && soil.shrink_ratio < 1;
    const bool opened = restore_width_m >= 0 && std::isfinite(restore_width_m);
    if (!swells || !shrinks || !opened) {
        throw Error(ErrorKind::internal, fmt::format("quantities: swell {}, shrink {}, restored width {} m",
                                                     soil.swell_ratio, soil.shrink_ratio, restore_width_m));
    }
}

} // namespace

double cut_at_m(const ProfileProblem& problem, const Profile& profile, double station_m)
{
    return problem.section.cut_m(ground_at_m(problem.ground, station_m), invert_at_m(profile.points, station_m));
}

std::vector<Depth> depths(const ProfileProblem& problem, const Profile& profile, const std::vector<HandDigZone>& zones,
                          const std::vector<double>& extra_stations_m, double step_m)
{
    check_profile(profile);
    const bool steps = step_m > same_row_m;
    if (!steps) {
        throw Error(ErrorKind::internal, fmt::format("depths: station spacing is {} m", step_m));
    }
    std::vector<Depth> rows;
    for (const double station : table_stations(problem, profile, zones, extra_stations_m, step_m)) {
        const double ground = ground_at_m(problem.ground, station);
        const double invert = invert_at_m(profile.points, station);
        rows.push_back({.station_m = station,
                        .ground_elev_m = ground,
                        .invert_elev_m = invert,
                        .cut_m = problem.section.cut_m(ground, invert),
                        .cover_m = problem.section.cover_m(ground, invert),
                        .fall_ratio = fall_downstream_of(profile, station),
                        .by_hand = in_a_zone(zones, station)});
    }
    return rows;
}

double trench_volume_m3(const ProfileProblem& problem, const Profile& profile, Interval span)
{
    const auto [from, to] = within_route(problem, span);
    auto stations = break_stations_m(problem, profile.points);
    std::erase_if(stations, [&](double s) { return !(s > from && s < to); });
    stations.insert(stations.begin(), from);
    stations.push_back(to);
    double area = 0;
    for (std::size_t i = 1; i < stations.size(); ++i) {
        area += (stations[i] - stations[i - 1]) *
                (cut_at_m(problem, profile, stations[i - 1]) + cut_at_m(problem, profile, stations[i])) / 2;
    }
    return problem.section.width_m * area;
}

Quantities measure(const Site& site, const Polyline& line, const ProfileProblem& problem, const Profile& profile,
                   std::vector<HandDigZone>& zones, const RouteRules& rules, const SoilRules& soil)
{
    check_profile(profile);
    check_soil(soil, rules.restore_width_m);
    Quantities q;
    q.length_m = length_of(problem);
    q.pipe_length_m = pipe_length_m(profile);
    measure_depths(q, problem, profile);
    measure_by_method(q, problem, profile, zones);
    q.mean_cut_m = (q.machine_cut_m3 + q.hand_cut_m3) / (problem.section.width_m * q.length_m);
    measure_fill(q, problem.section, soil);
    for (const auto& [span, kind] : surfaces_along(site, line, rules)) {
        q.restore_m2[kind] += (span.to_m - span.from_m) * rules.restore_width_m;
    }
    return q;
}

} // namespace trenchwright
