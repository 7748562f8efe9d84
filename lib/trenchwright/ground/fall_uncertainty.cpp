#include "trenchwright/ground/fall_uncertainty.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <random>

namespace trenchwright {

namespace {

/// Lower triangle L with L L' = covariance; a direction without doubt gives a row of zeros beyond it.
std::vector<double> root_of(std::span<const double> covariance_m2, std::size_t n)
{
    std::vector<double> root_m(n * n, 0);
    double greatest = 0;
    for (std::size_t i = 0; i < n; ++i) {
        greatest = std::max(greatest, covariance_m2[i * n + i]);
    }
    const double none = greatest * 1e-12;
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k <= i; ++k) {
            double rest = covariance_m2[i * n + k];
            for (std::size_t j = 0; j < k; ++j) {
                rest -= root_m[i * n + j] * root_m[k * n + j];
            }
            if (i == k) {
                root_m[i * n + i] = rest > none ? std::sqrt(rest) : 0;
            } else {
                root_m[i * n + k] = root_m[k * n + k] > 0 ? rest / root_m[k * n + k] : 0;
            }
        }
    }
    return root_m;
}

/// Normal figures that are the same on every machine: the library's own distribution is not.
class Dice {
  public:
    explicit Dice(int seed) : engine_(static_cast<std::uint64_t>(seed)) {}
    double normal()
    {
        if (kept_) {
            const double second = *kept_;
            kept_.reset();
            return second;
        }
        const double radius = std::sqrt(-2 * std::log(1 - share()));
        const double angle = 2 * std::numbers::pi * share();
        kept_ = radius * std::sin(angle);
        return radius * std::cos(angle);
    }

  private:
    double share() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }
    std::mt19937_64 engine_;
    std::optional<double> kept_;
};

/// Every draw: the errors at the places, and whether fall suffices.
struct Draws {
    std::vector<std::vector<double>> errors_m; ///< by place, then by draw
    std::vector<bool> drains;
};

/// Change of the room at a place: its own ground up, the outlet's ground down.
double gain_m(const FallPlace& place, const std::vector<double>& error_m, std::size_t at)
{
    return (place.fixed ? 0 : error_m[at]) - (place.end ? error_m[*place.end] : 0);
}

bool drains(std::span<const FallPlace> places, const std::vector<double>& error_m)
{
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (places[i].spare_m + gain_m(places[i], error_m, i) < 0) {
            return false;
        }
    }
    return true;
}

Draws drawn(std::span<const FallPlace> places, const std::vector<double>& root_m, const FallUncertaintyRules& rules)
{
    const std::size_t n = places.size();
    Draws draws;
    draws.errors_m.assign(n, std::vector<double>(static_cast<std::size_t>(rules.draws)));
    Dice dice(rules.seed);
    std::vector<double> normal(n);
    std::vector<double> error_m(n);
    for (std::size_t draw = 0; draw < static_cast<std::size_t>(rules.draws); ++draw) {
        std::ranges::generate(normal, [&] { return dice.normal(); });
        for (std::size_t i = 0; i < n; ++i) {
            error_m[i] = std::inner_product(normal.begin(), normal.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                                            root_m.begin() + static_cast<std::ptrdiff_t>(i * n), 0.0);
            draws.errors_m[i][draw] = error_m[i];
        }
        draws.drains.push_back(drains(places, error_m));
    }
    return draws;
}

double share_of(const std::vector<bool>& yes)
{
    return static_cast<double>(std::ranges::count(yes, true)) / static_cast<double>(yes.size());
}

/// Mean of p (1 - p) when the height at a place becomes known: draws are put in order of the error there and cut into
/// groups; in a group it is as good as known.
double uncertainty_knowing(const std::vector<double>& error_m, const std::vector<bool>& drains)
{
    constexpr std::size_t groups = 25;
    std::vector<std::size_t> order(error_m.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) { return error_m[i]; });
    double sum = 0;
    for (std::size_t g = 0; g < groups; ++g) {
        const std::size_t from = order.size() * g / groups;
        const std::size_t to = order.size() * (g + 1) / groups;
        const auto yes =
            std::count_if(order.begin() + static_cast<std::ptrdiff_t>(from),
                          order.begin() + static_cast<std::ptrdiff_t>(to), [&](std::size_t i) { return drains[i]; });
        const double p = to > from ? static_cast<double>(yes) / static_cast<double>(to - from) : 0;
        sum += p * (1 - p) * static_cast<double>(to - from);
    }
    return sum / static_cast<double>(order.size());
}

std::optional<NextShot> next_shot(std::span<const FallPlace> places, const Draws& draws, double uncertainty_share)
{
    std::optional<NextShot> best;
    for (std::size_t i = 0; i < draws.errors_m.size(); ++i) {
        if (places[i].fixed) {
            continue;
        }
        const double after = uncertainty_knowing(draws.errors_m[i], draws.drains);
        if (after < (best ? best->uncertainty_after_share : uncertainty_share)) {
            best = NextShot{.place = i, .uncertainty_after_share = after};
        }
    }
    return best;
}

void check(std::span<const FallPlace> places, std::span<const double> covariance_m2, const FallUncertaintyRules& rules)
{
    const std::size_t n = places.size();
    const bool finite = std::ranges::all_of(covariance_m2, [](double c) { return std::isfinite(c); }) &&
                        std::ranges::all_of(places, [](const auto& p) { return std::isfinite(p.spare_m); });
    const bool ends = std::ranges::all_of(places, [&](const auto& p) { return !p.end || *p.end < n; });
    if (n == 0 || covariance_m2.size() != n * n || !finite || !ends || rules.draws < 1) {
        throw Error(ErrorKind::internal, "doubt of fall: places and covariance do not fit");
    }
}

/// Root mean square of what moves the room at a place.
double error_m(const FallPlace& place, std::size_t at, std::span<const double> covariance_m2, std::size_t n)
{
    double squared_m2 = place.fixed ? 0 : covariance_m2[at * n + at];
    if (place.end) {
        squared_m2 += covariance_m2[*place.end * n + *place.end];
        squared_m2 -= place.fixed ? 0 : 2 * covariance_m2[at * n + *place.end];
    }
    return std::sqrt(std::max(0.0, squared_m2));
}

/// How many of its errors the room of a place holds: the fewer, the likelier it runs short. A place that no ground
/// moves either holds or does not.
double errors_held(const FallPlace& place, double error_m)
{
    constexpr double infinite = std::numeric_limits<double>::infinity();
    return error_m > 0 ? place.spare_m / error_m : place.spare_m < 0 ? -infinite : infinite;
}

/// Places that only carry the outlet cannot run short. Where no place is moved at all, the one of the least room.
std::size_t likeliest_short(std::span<const FallPlace> places, std::span<const double> covariance_m2)
{
    std::optional<std::size_t> worst;
    double fewest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (std::ranges::any_of(places, [i](const FallPlace& other) { return other.end == i; })) {
            continue;
        }
        const double held = errors_held(places[i], error_m(places[i], i, covariance_m2, places.size()));
        if (!worst || held < fewest || (held == fewest && places[i].spare_m < places[*worst].spare_m)) {
            worst = i;
            fewest = held;
        }
    }
    return worst.value_or(0);
}

} // namespace

FallUncertainty fall_uncertainty(std::span<const FallPlace> places, std::span<const double> covariance_m2,
                                 const FallUncertaintyRules& rules)
{
    check(places, covariance_m2, rules);
    const std::size_t n = places.size();
    const auto draws = drawn(places, root_of(covariance_m2, n), rules);
    FallUncertainty uncertainty;
    uncertainty.place = likeliest_short(places, covariance_m2);
    uncertainty.spare_m = places[uncertainty.place].spare_m;
    uncertainty.error_m = error_m(places[uncertainty.place], uncertainty.place, covariance_m2, n);
    uncertainty.drains_share = share_of(draws.drains);
    uncertainty.uncertainty_share = uncertainty.drains_share * (1 - uncertainty.drains_share);
    uncertainty.next = next_shot(places, draws, uncertainty.uncertainty_share);
    return uncertainty;
}

} // namespace trenchwright
