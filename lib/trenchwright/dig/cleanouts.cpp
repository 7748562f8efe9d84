#include "trenchwright/dig/cleanouts.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <ranges>

namespace trenchwright {

namespace {

/// Two stations nearer than this are one place.
constexpr double same_place_m = 1e-6;

/// Rounding must not ask for one more cleanout or fitting.
constexpr double rounding_rad = 1e-9;

void require_in_range(const CleanoutRules& rules)
{
    const bool fine = rules.spacing_m > 0 && rules.max_turn_rad >= 0 && rules.served_m >= 0;
    if (!fine) {
        throw Error(ErrorKind::internal, fmt::format("cleanouts: spacing {} m, turn {} rad or served length {} m is "
                                                     "out of range",
                                                     rules.spacing_m, rules.max_turn_rad, rules.served_m));
    }
}

/// From the upper end down.
std::vector<Cleanout> by_spacing(double length_m, const CleanoutRules& rules)
{
    std::vector<Cleanout> placed{{.station_m = length_m, .at = {}, .reason = CleanoutReason::upper_end}};
    const auto gaps = std::max(std::ceil(length_m / rules.spacing_m - same_place_m), 1.0);
    for (double gap = 1; gap < gaps; ++gap) {
        placed.push_back({.station_m = length_m * (1 - gap / gaps), .at = {}, .reason = CleanoutReason::spacing});
    }
    return placed;
}

/// Goes down the line from cleanout to cleanout and adds one where the bends ask for it.
std::vector<Cleanout> with_bends(const std::vector<Cleanout>& spaced, const std::vector<Bend>& bends,
                                 const CleanoutRules& rules)
{
    std::vector<Cleanout> placed;
    auto next = spaced.begin();
    double turned_rad = 0;
    for (const auto& bend : std::views::reverse(bends)) {
        while (next != spaced.end() && next->station_m >= bend.station_m - same_place_m) {
            placed.push_back(*next++);
            turned_rad = 0;
        }
        const double below_m = placed.back().station_m - bend.station_m;
        const bool served = below_m <= std::max(rules.served_m, same_place_m);
        turned_rad += served ? 0 : bend.angle_rad;
        if (turned_rad > rules.max_turn_rad + rounding_rad) {
            placed.push_back({.station_m = bend.station_m, .at = {}, .reason = CleanoutReason::bends});
            turned_rad = 0;
        }
    }
    placed.insert(placed.end(), next, spaced.end());
    return placed;
}

/// Spacing and turns, as the rules ask.
bool allowed(const std::vector<Cleanout>& rising, const std::vector<Bend>& bends, const CleanoutRules& rules)
{
    double lower_m = 0;
    for (const auto& cleanout : rising) {
        if (cleanout.station_m - lower_m > rules.spacing_m + same_place_m) {
            return false;
        }
        lower_m = cleanout.station_m;
    }
    std::vector<Cleanout> falling(rising.rbegin(), rising.rend());
    return with_bends(falling, bends, rules).size() == falling.size();
}

/// The nearest stations outside the stretch it stands in, nearest first; none where it stands free or at an end.
std::vector<double> ways_out_m(const Cleanout& cleanout, const std::vector<Interval>& keep_off, double length_m)
{
    std::vector<double> ways;
    for (const auto& span : keep_off) {
        if (cleanout.station_m > span.from_m + same_place_m && cleanout.station_m < span.to_m - same_place_m) {
            ways = {span.from_m, span.to_m};
        }
    }
    std::erase_if(ways, [&](double way_m) { return way_m <= 0 || way_m >= length_m; });
    std::ranges::sort(ways, {}, [&](double way_m) { return std::abs(way_m - cleanout.station_m); });
    return ways;
}

void move_out(std::vector<Cleanout>& rising, const std::vector<Bend>& bends, const CleanoutRules& rules,
              const std::vector<Interval>& keep_off)
{
    for (std::size_t i = 0; i + 1 < rising.size(); ++i) {
        const double stood_m = rising[i].station_m;
        for (const double way_m : ways_out_m(rising[i], keep_off, rising.back().station_m)) {
            rising[i].station_m = way_m;
            const bool in_order = (i == 0 || rising[i - 1].station_m < way_m) && way_m < rising[i + 1].station_m;
            if (in_order && allowed(rising, bends, rules)) {
                break;
            }
            rising[i].station_m = stood_m;
        }
    }
}

} // namespace

std::vector<Cleanout> cleanouts(const Polyline& line, const std::vector<Bend>& bends, const CleanoutRules& rules,
                                const std::vector<Interval>& keep_off)
{
    require_in_range(rules);
    auto placed = with_bends(by_spacing(length_m(line), rules), bends, rules);
    std::ranges::reverse(placed);
    move_out(placed, bends, rules, keep_off);
    for (auto& cleanout : placed) {
        cleanout.at = point_at(line, cleanout.station_m);
    }
    return placed;
}

} // namespace trenchwright
