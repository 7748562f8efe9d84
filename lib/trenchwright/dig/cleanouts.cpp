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

} // namespace

std::vector<Cleanout> cleanouts(const Polyline& line, const std::vector<Bend>& bends, const CleanoutRules& rules)
{
    require_in_range(rules);
    auto placed = with_bends(by_spacing(length_m(line), rules), bends, rules);
    std::ranges::reverse(placed);
    for (auto& cleanout : placed) {
        cleanout.at = point_at(line, cleanout.station_m);
    }
    return placed;
}

} // namespace trenchwright
