#include "trenchwright/profile/corridor.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// A trench of one house has some dozens; more is a slip of the unit.
constexpr std::size_t max_joints = 2000;

/// The ends of every straight run.
std::vector<double> fixed_breaks(const ProfileProblem& problem)
{
    return distinct_stations_m(problem.bend_stations_m, problem.ground.back().station_m);
}

std::vector<double> joints(const ProfileProblem& problem, const std::vector<double>& ends)
{
    std::vector<double> result;
    for (std::size_t run = 1; run < ends.size(); ++run) {
        for (int stick = 1;; ++stick) {
            const double at = ends[run - 1] + stick * problem.stick_length_m;
            if (!(at < ends[run] - same_station_m)) {
                break;
            }
            result.push_back(at);
            if (result.size() > max_joints) {
                throw Error(ErrorKind::input, fmt::format("stick length {} m makes more than {} joints",
                                                          problem.stick_length_m, max_joints));
            }
        }
    }
    return result;
}

Room room_at(const ProfileProblem& problem, double station_m)
{
    const double ground = ground_at_m(problem.ground, station_m);
    const double line = problem.lowest_outlet_invert_elev_m + problem.min_fall_ratio * station_m;
    const double cover = max_at(problem.min_cover_m, station_m);
    double highest = problem.section.invert_for_cover_m(ground, cover);
    if (!problem.wanted_cover_m.empty()) {
        const double wanted = problem.section.invert_for_cover_m(ground, max_at(problem.wanted_cover_m, station_m));
        highest = std::min(highest, std::max(wanted, line + problem.wanted_above_m));
    }
    for (const auto& ceiling : problem.ceilings) {
        const bool here = std::abs(ceiling.station_m - station_m) <= same_station_m;
        highest = here ? std::min(highest, ceiling.invert_elev_m) : highest;
    }
    double lowest = problem.section.invert_for_cut_m(ground, problem.deepest_cut_m);
    for (const auto& [span, least, most] : problem.limits) {
        if (span.from_m - same_station_m <= station_m && station_m <= span.to_m + same_station_m) {
            lowest = std::max(lowest, least);
            highest = std::min(highest, most);
        }
    }
    return {.station_m = station_m, .min_m = lowest - line, .max_m = highest - line};
}

void add_end_limits(Corridor& corridor, const ProfileProblem& problem)
{
    corridor.outlet_most_m = problem.highest_outlet_invert_elev_m - problem.lowest_outlet_invert_elev_m;
    auto& outlet = corridor.rooms.front();
    outlet.min_m = std::max(outlet.min_m, 0.0);
    auto& source = corridor.rooms.back();
    const double line = problem.lowest_outlet_invert_elev_m + problem.min_fall_ratio * source.station_m;
    source.max_m = std::min(source.max_m, problem.highest_source_invert_elev_m - line);
}

std::size_t nearest_room(const std::vector<Room>& rooms, double station_m)
{
    const auto found = std::lower_bound(rooms.begin(), rooms.end(), station_m - same_station_m,
                                        [](const Room& room, double station) { return room.station_m < station; });
    return static_cast<std::size_t>(found - rooms.begin());
}

} // namespace

Corridor corridor_of(const ProfileProblem& problem)
{
    auto stations = break_stations_m(problem, {});
    const auto ends = fixed_breaks(problem);
    const auto between = joints(problem, ends);
    stations.insert(stations.end(), ends.begin(), ends.end());
    stations.insert(stations.end(), between.begin(), between.end());
    for (const auto& limit : problem.limits) {
        stations.push_back(limit.span.from_m);
        stations.push_back(limit.span.to_m);
    }
    stations = distinct_stations_m(std::move(stations), problem.ground.back().station_m);

    Corridor corridor;
    for (const double station : stations) {
        corridor.rooms.push_back(room_at(problem, station));
    }
    add_end_limits(corridor, problem);
    for (std::size_t i = 1; i < stations.size(); ++i) {
        corridor.cost_per_m.push_back(problem.section.width_m *
                                      value_at(problem.dig_cost_per_m3, (stations[i - 1] + stations[i]) / 2));
    }
    for (const double end : ends) {
        corridor.breaks.push_back({.room = nearest_room(corridor.rooms, end), .joint = false});
    }
    for (const double joint : between) {
        corridor.breaks.push_back({.room = nearest_room(corridor.rooms, joint), .joint = true});
    }
    std::sort(corridor.breaks.begin(), corridor.breaks.end(),
              [](const auto& a, const auto& b) { return a.room < b.room; });
    return corridor;
}

std::vector<Room> tightened(const Corridor& corridor)
{
    auto rooms = corridor.rooms;
    rooms.front().max_m = std::min(rooms.front().max_m, corridor.outlet_most_m);
    for (std::size_t i = 1; i < rooms.size(); ++i) {
        rooms[i].min_m = std::max(rooms[i].min_m, rooms[i - 1].min_m);
    }
    for (std::size_t i = rooms.size() - 1; i > 0; --i) {
        rooms[i - 1].max_m = std::min(rooms[i - 1].max_m, rooms[i].max_m);
    }
    return rooms;
}

} // namespace trenchwright
