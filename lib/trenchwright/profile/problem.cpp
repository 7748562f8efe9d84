#include "trenchwright/profile/problem.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <string_view>

namespace trenchwright {

namespace {

/// Stretches made by merging and cutting meet only up to rounding.
constexpr double gap_m = 1e-6;

[[noreturn]] void contradiction(std::string_view what, double value)
{
    throw Error(ErrorKind::internal, fmt::format("profile: {}: {}", what, value));
}

void require(bool holds, std::string_view what, double value)
{
    if (!holds) {
        contradiction(what, value);
    }
}

void check_ground(const std::vector<GroundPoint>& ground)
{
    require(ground.size() >= 2, "ground needs two points or more, has", static_cast<double>(ground.size()));
    require(ground.front().station_m == 0, "ground must start at station 0, starts at", ground.front().station_m);
    for (std::size_t i = 0; i < ground.size(); ++i) {
        const bool rises = i == 0 || ground[i].station_m > ground[i - 1].station_m;
        require(rises && std::isfinite(ground[i].station_m), "ground stations must rise, not so at",
                ground[i].station_m);
        require(std::isfinite(ground[i].elev_m), "ground elevation is no number at station", ground[i].station_m);
    }
}

/// In order, end to end, over the whole route, no value below `least`.
void check_spans(const std::vector<SpanValue>& spans, double length_m, std::string_view what, double least)
{
    double reached = 0;
    for (const auto& [span, value] : spans) {
        require(std::abs(span.from_m - reached) <= gap_m && span.to_m >= span.from_m,
                fmt::format("{}: stretches must follow each other, not so at", what), span.from_m);
        require(value >= least && std::isfinite(value), fmt::format("{}: value must be {} or more, is", what, least),
                value);
        reached = span.to_m;
    }
    require(std::abs(reached - length_m) <= gap_m, fmt::format("{}: must cover the route, ends at", what), reached);
}

void check_section(const TrenchSection& section)
{
    require(section.width_m > 0 && std::isfinite(section.width_m), "trench width must be above 0, is", section.width_m);
    require(section.outside_diameter_m > 0 && std::isfinite(section.outside_diameter_m),
            "outside diameter must be above 0, is", section.outside_diameter_m);
    require(section.wall_m >= 0 && 2 * section.wall_m < section.outside_diameter_m,
            "pipe wall must be 0 or more and under half the outside diameter, is", section.wall_m);
    require(section.bedding_m >= 0 && std::isfinite(section.bedding_m), "bedding must be 0 or more, is",
            section.bedding_m);
}

void check_bends(const std::vector<double>& bends, double length_m)
{
    double before = 0;
    for (const double bend : bends) {
        require(bend >= before && bend <= length_m, "bends must rise between the ends, not so at", bend);
        before = bend;
    }
}

void check_limits(const std::vector<InvertLimit>& limits)
{
    for (const auto& limit : limits) {
        require(limit.span.from_m <= limit.span.to_m, "a limit's stretch must not end before it starts, not so at",
                limit.span.from_m);
        require(!std::isnan(limit.lowest_elev_m) && !std::isnan(limit.highest_elev_m), "a limit is no number at",
                limit.span.from_m);
    }
}

void check_inverts(const ProfileProblem& p)
{
    require(std::isfinite(p.lowest_outlet_invert_elev_m), "lowest outlet invert is no number",
            p.lowest_outlet_invert_elev_m);
    require(p.highest_outlet_invert_elev_m >= p.lowest_outlet_invert_elev_m &&
                std::isfinite(p.highest_outlet_invert_elev_m),
            "highest outlet invert must not be under the lowest, is", p.highest_outlet_invert_elev_m);
    require(std::isfinite(p.highest_source_invert_elev_m), "highest source invert is no number",
            p.highest_source_invert_elev_m);
    require(p.min_fall_ratio > 0 && std::isfinite(p.min_fall_ratio), "least fall must be above 0, is",
            p.min_fall_ratio);
    require(p.deepest_cut_m > 0 && std::isfinite(p.deepest_cut_m), "deepest cut must be above 0, is", p.deepest_cut_m);
    require(p.stick_length_m > 0, "stick length must be above 0, is", p.stick_length_m);
    require(p.min_joint_saving >= 0, "least joint saving must be 0 or more, is", p.min_joint_saving);
    require(p.invert_step_m > 0 && std::isfinite(p.invert_step_m), "invert step must be above 0, is", p.invert_step_m);
}

} // namespace

void check_problem(const ProfileProblem& problem)
{
    check_ground(problem.ground);
    const double length = problem.ground.back().station_m;
    check_section(problem.section);
    // Where the pipe may lie open on the ground, at a swale, the cover is minus its outside diameter.
    check_spans(problem.min_cover_m, length, "least cover", -problem.section.outside_diameter_m);
    if (!problem.wanted_cover_m.empty()) {
        check_spans(problem.wanted_cover_m, length, "wanted cover", -problem.section.outside_diameter_m);
    }
    check_spans(problem.dig_cost_per_m3, length, "dig cost", 0);
    check_bends(problem.bend_stations_m, length);
    check_limits(problem.limits);
    check_inverts(problem);
}

std::vector<double> distinct_stations_m(std::vector<double> stations, double length_m)
{
    std::erase_if(stations, [&](double s) { return !(s > same_station_m && s < length_m - same_station_m); });
    stations.push_back(0);
    stations.push_back(length_m);
    std::sort(stations.begin(), stations.end());
    const auto same = [](double a, double b) { return b - a <= same_station_m; };
    stations.erase(std::unique(stations.begin(), stations.end(), same), stations.end());
    return stations;
}

double max_at(const std::vector<SpanValue>& spans, double station_m)
{
    double most = 0;
    for (const auto& [span, value] : spans) {
        if (span.from_m - same_station_m <= station_m && station_m <= span.to_m + same_station_m) {
            most = std::max(most, value);
        }
    }
    return most;
}

double value_at(const std::vector<SpanValue>& spans, double station_m)
{
    const auto found =
        std::find_if(spans.begin(), spans.end(), [&](const auto& s) { return station_m <= s.span.to_m; });
    return found == spans.end() ? spans.back().value : found->value;
}

} // namespace trenchwright
