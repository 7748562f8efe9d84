#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/problem.hpp"
#include "trenchwright/profile/profile.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

/// What lowering a pipe by a meter costs, summed along the line, so that any stretch takes no time.
struct Sums {
    std::vector<double> plain{0};
    std::vector<double> moment{0};   ///< about station 0
    std::vector<double> at_cover{0}; ///< the same weighted by the highest invert
};

Sums sums_of(const ProfileProblem& problem, const std::vector<GradePoint>& highest)
{
    Sums sums;
    for (std::size_t i = 1; i < highest.size(); ++i) {
        const double from = highest[i - 1].station_m;
        const double to = highest[i].station_m;
        const double rate = value_at(problem.dig_cost_per_m3, (from + to) / 2) * problem.section.width_m * (to - from);
        sums.plain.push_back(sums.plain.back() + rate);
        sums.moment.push_back(sums.moment.back() + rate * (from + to) / 2);
        sums.at_cover.push_back(sums.at_cover.back() +
                                rate * (highest[i - 1].invert_elev_m + highest[i].invert_elev_m) / 2);
    }
    return sums;
}

double slope_to(const GradePoint& a, double station_m, double invert_elev_m)
{
    return (invert_elev_m - a.invert_elev_m) / (station_m - a.station_m);
}

/// Excavation that a straight pipe between two points costs beyond one that follows the cover.
double extra_dig(const Sums& sums, const std::vector<GradePoint>& highest, std::size_t a, std::size_t b)
{
    const double slope = slope_to(highest[a], highest[b].station_m, highest[b].invert_elev_m);
    const double plain = sums.plain[b] - sums.plain[a];
    const double moment = sums.moment[b] - sums.moment[a] - highest[a].station_m * plain;
    return sums.at_cover[b] - sums.at_cover[a] - highest[a].invert_elev_m * plain - slope * moment;
}

/// The lowest invert that the deepest cut leaves, or the cover's own where that is lower still.
double lowest_m(const ProfileProblem& problem, const GradePoint& highest)
{
    const double ground = ground_at_m(problem.ground, highest.station_m);
    return std::min(highest.invert_elev_m, problem.section.invert_for_cut_m(ground, problem.deepest_cut_m));
}

/// The points between which a pipe under all of them is cheapest, each change of grade at the price of a joint's.
std::vector<GradePoint> in_straight_grades(const ProfileProblem& problem, const std::vector<GradePoint>& highest)
{
    const Sums sums = sums_of(problem, highest);
    const std::size_t count = highest.size();
    std::vector<double> cost(count, std::numeric_limits<double>::infinity());
    std::vector<std::size_t> via(count, 0);
    cost[0] = 0;
    for (std::size_t a = 0; a + 1 < count; ++a) {
        double steepest = std::numeric_limits<double>::infinity(); // that stays under all points passed
        double flattest = -steepest;                               // that is nowhere too deep
        for (std::size_t b = a + 1; b < count; ++b) {
            const double slope = slope_to(highest[a], highest[b].station_m, highest[b].invert_elev_m);
            if (flattest - rounding_m <= slope && slope <= steepest + rounding_m) {
                const double here = cost[a] + extra_dig(sums, highest, a, b) + problem.min_joint_saving;
                if (here < cost[b]) {
                    cost[b] = here;
                    via[b] = a;
                }
            }
            steepest = std::min(steepest, slope);
            flattest = std::max(flattest, slope_to(highest[a], highest[b].station_m, lowest_m(problem, highest[b])));
        }
    }
    std::vector<GradePoint> points{highest.back()};
    for (std::size_t at = count - 1; at != 0; at = via[at]) {
        points.push_back(highest[via[at]]);
    }
    std::ranges::reverse(points);
    return points;
}

std::vector<GradePoint> highest_inverts(const ProfileProblem& problem)
{
    std::vector<GradePoint> highest;
    for (const double station : break_stations_m(problem, {})) {
        const double ground = ground_at_m(problem.ground, station);
        const double cover = max_at(problem.min_cover_m, station);
        highest.push_back({.station_m = station, .invert_elev_m = problem.section.invert_for_cover_m(ground, cover)});
    }
    return highest;
}

/// The lower end between the inverts that are allowed there; from what lies nearer the pipe runs straight.
void meet_outlet(std::vector<GradePoint>& points, const ProfileProblem& problem)
{
    const double at_cover = points.front().invert_elev_m;
    const double end =
        std::max(std::min(at_cover, problem.highest_outlet_invert_elev_m), problem.lowest_outlet_invert_elev_m);
    if (end == at_cover) {
        return;
    }
    constexpr double min_grade_m = 0.05;                                 // nobody lays a shorter one
    const double to_m = std::max(min_grade_m, std::abs(at_cover - end)); // at 45 degrees or flatter
    points.front().invert_elev_m = end;
    const auto far =
        std::find_if(points.begin() + 1, points.end() - 1, [&](const GradePoint& p) { return p.station_m >= to_m; });
    points.erase(points.begin() + 1, far);
}

} // namespace

Profile lay_at_cover(const ProfileProblem& problem)
{
    Profile profile;
    auto highest = highest_inverts(problem);
    meet_outlet(highest, problem);
    profile.points = in_straight_grades(problem, highest);
    profile.dig_cost = dig_cost(problem, profile.points);
    return profile;
}

} // namespace trenchwright
