#include "trenchwright/plan/spot_outliers.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace trenchwright {

namespace {

constexpr std::size_t neighbors = 8;
constexpr std::size_t least_spots = 6;
constexpr std::size_t most_outliers = 20; // more are no slips but another datum
/// More would take long, and a survey of so many shots was checked by its maker.
constexpr std::size_t most_spots = 2000;

std::vector<std::size_t> nearest(std::span<const Spot> spots, const std::vector<std::size_t>& kept, std::size_t of)
{
    std::vector<std::size_t> others;
    std::ranges::copy_if(kept, std::back_inserter(others), [&](std::size_t i) { return i != of; });
    const auto count = std::min(neighbors, others.size());
    const auto away_m = [&](std::size_t i) { return distance_m(spots[i].at, spots[of].at); };
    std::ranges::partial_sort(others, others.begin() + static_cast<std::ptrdiff_t>(count), {}, away_m);
    others.resize(count);
    return others;
}

/// Sums of a least-squares plane z = a + b x + c y about its middle.
struct Plane {
    double a = 0;
    double b = 0;
    double c = 0;
};

std::optional<Plane> plane_of(std::span<const Spot> spots, const std::vector<std::size_t>& of, const Point& origin)
{
    double n = 0, x = 0, y = 0, z = 0;
    for (const auto i : of) {
        n += 1;
        x += spots[i].at.x_m - origin.x_m;
        y += spots[i].at.y_m - origin.y_m;
        z += spots[i].elev_m;
    }
    double xx = 0, xy = 0, yy = 0, xz = 0, yz = 0;
    for (const auto i : of) {
        const double dx = spots[i].at.x_m - origin.x_m - x / n;
        const double dy = spots[i].at.y_m - origin.y_m - y / n;
        const double dz = spots[i].elev_m - z / n;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
        xz += dx * dz;
        yz += dy * dz;
    }
    const double det = xx * yy - xy * xy;
    if (!(det > 1e-6 * (xx + yy) * (xx + yy))) {
        return std::nullopt; // all in one line
    }
    const double b = (xz * yy - yz * xy) / det;
    const double c = (yz * xx - xz * xy) / det;
    return Plane{.a = z / n - b * x / n - c * y / n, .b = b, .c = c};
}

/// A shot's height less the plane of its neighbors; 0 where they lie in one line.
double off_m(std::span<const Spot> spots, const std::vector<std::size_t>& kept, std::size_t of)
{
    const auto plane = plane_of(spots, nearest(spots, kept, of), spots[of].at);
    return plane ? spots[of].elev_m - plane->a : 0;
}

} // namespace

std::vector<SpotOutlier> spot_outliers(std::span<const Spot> spots, const OutlierRules& rules)
{
    std::vector<SpotOutlier> found;
    std::vector<std::size_t> kept(spots.size());
    for (std::size_t i = 0; i < kept.size(); ++i) {
        kept[i] = i;
    }
    while (kept.size() >= least_spots && spots.size() <= most_spots && found.size() < most_outliers) {
        std::vector<double> off;
        for (const auto i : kept) {
            off.push_back(off_m(spots, kept, i));
        }
        const auto worst = std::ranges::max_element(off, {}, [](double by_m) { return std::abs(by_m); }) - off.begin();
        const double worst_m = off[static_cast<std::size_t>(worst)];
        std::ranges::transform(off, off.begin(), [](double by_m) { return std::abs(by_m); });
        const auto mid = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2);
        std::ranges::nth_element(off, mid);
        const bool doubtful = std::abs(worst_m) > std::max(rules.min_off_m, rules.usual_factor * *mid);
        if (!doubtful) {
            break;
        }
        found.push_back({.spot = kept[static_cast<std::size_t>(worst)], .off_m = worst_m});
        kept.erase(kept.begin() + worst);
    }
    return found;
}

} // namespace trenchwright
