#pragma once

#include "trenchwright/profile/profile.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

/// Profile problems for the tests, drawn up or random.
namespace trenchwright::testing {

/// Uniform in [low, high), the same numbers with every standard library.
inline double uniform(std::mt19937_64& dice, double low, double high)
{
    return low + (high - low) * (static_cast<double>(dice() >> 11U) * 0x1.0p-53);
}

inline int whole(std::mt19937_64& dice, int low, int high)
{
    return low + static_cast<int>(dice() % static_cast<unsigned>(high - low + 1));
}

/// A trench 0.3 m wide for a pipe of 110 mm over the given ground: cover 0.3 m, 1 %, no bends, no joints.
inline ProfileProblem problem_over(std::vector<GroundPoint> ground)
{
    ProfileProblem problem;
    problem.ground = std::move(ground);
    const double length = problem.ground.back().station_m;
    problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.05};
    problem.min_cover_m = {{{0, length}, 0.3}};
    problem.dig_cost_per_m3 = {{{0, length}, 80}};
    problem.lowest_outlet_invert_elev_m = problem.ground.front().elev_m - 1.2;
    problem.highest_outlet_invert_elev_m = problem.ground.front().elev_m;
    problem.highest_source_invert_elev_m = 1e6;
    problem.min_fall_ratio = 0.01;
    problem.deepest_cut_m = 1.5;
    problem.stick_length_m = 1e9;
    problem.min_joint_saving = 1e9;
    return problem;
}

/// Stretches of random values from end to end.
inline std::vector<SpanValue> random_spans(std::mt19937_64& dice, double length_m, double low, double high)
{
    std::vector<SpanValue> spans;
    double from = 0;
    for (int left = whole(dice, 0, 3); left > 0; --left) {
        const double to = uniform(dice, from, length_m);
        spans.push_back({{from, to}, uniform(dice, low, high)});
        from = to;
    }
    spans.push_back({{from, length_m}, uniform(dice, low, high)});
    return spans;
}

/// Uneven ground that rises at about the least fall: some problems drain with ease, some barely, some not, some
/// only too deep.
inline ProfileProblem random_problem(std::mt19937_64& dice)
{
    const double length = uniform(dice, 4, 40);
    const double slope = uniform(dice, 0.0, 0.05);
    std::vector<GroundPoint> ground{{0, 100}};
    for (double at = uniform(dice, 0.2, 4); at < length; at += uniform(dice, 0.2, 4)) {
        ground.push_back({at, 100 + slope * at + uniform(dice, -0.2, 0.2)});
    }
    ground.push_back({length, 100 + slope * length + uniform(dice, -0.2, 0.2)});
    auto problem = problem_over(std::move(ground));
    problem.min_cover_m = random_spans(dice, length, 0.1, 0.5);
    problem.dig_cost_per_m3 = random_spans(dice, length, 20, 400);
    problem.min_fall_ratio = uniform(dice, 0.003, 0.03);
    problem.lowest_outlet_invert_elev_m = 100 - uniform(dice, 0.4, 1.2);
    problem.highest_outlet_invert_elev_m = problem.lowest_outlet_invert_elev_m + uniform(dice, 0, 0.6);
    problem.highest_source_invert_elev_m = 100 + slope * length - uniform(dice, 0.2, 0.5);
    problem.deepest_cut_m = uniform(dice, 0.8, 1.6);
    for (int left = whole(dice, 0, 3); left > 0; --left) {
        problem.bend_stations_m.push_back(uniform(dice, 0, length));
    }
    std::sort(problem.bend_stations_m.begin(), problem.bend_stations_m.end());
    return problem;
}

/// Value on the stretch that holds the station; the larger where two meet.
inline double largest_value(const std::vector<SpanValue>& spans, double station_m)
{
    double most = 0;
    for (const auto& [span, value] : spans) {
        most = span.from_m <= station_m && station_m <= span.to_m ? std::max(most, value) : most;
    }
    return most;
}

/// Every station at which anything may change, and `fill` even ones.
inline std::vector<double> dense_stations(const ProfileProblem& problem, int fill)
{
    std::vector<double> stations;
    for (const auto& p : problem.ground) {
        stations.push_back(p.station_m);
    }
    for (const auto* spans : {&problem.min_cover_m, &problem.dig_cost_per_m3}) {
        for (const auto& [span, value] : *spans) {
            stations.push_back(span.to_m);
        }
    }
    const double length = problem.ground.back().station_m;
    for (int i = 0; i <= fill; ++i) {
        stations.push_back(std::min(length, length * i / fill));
    }
    stations.insert(stations.end(), problem.bend_stations_m.begin(), problem.bend_stations_m.end());
    std::sort(stations.begin(), stations.end());
    return stations;
}

/// Highest invert that cover and the source allow, spelled out.
inline double highest_invert(const ProfileProblem& problem, double station_m)
{
    const auto& s = problem.section;
    const double by_cover = ground_at_m(problem.ground, station_m) - largest_value(problem.min_cover_m, station_m) -
                            s.outside_diameter_m + s.wall_m;
    const bool at_source = station_m >= problem.ground.back().station_m;
    return at_source ? std::min(by_cover, problem.highest_source_invert_elev_m) : by_cover;
}

/// Lowest invert the cut limit allows, spelled out.
inline double lowest_invert(const ProfileProblem& problem, double station_m)
{
    return ground_at_m(problem.ground, station_m) - problem.deepest_cut_m + problem.section.wall_m +
           problem.section.bedding_m;
}

} // namespace trenchwright::testing
