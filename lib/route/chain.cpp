#include "geom/measure.hpp"
#include "route/straighten.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// More places than this cost more time than they save trench.
constexpr std::size_t most_places = 22;

/// The line's vertices and places evenly between them.
std::vector<Point> places_on(const Polyline& line)
{
    const std::size_t spare = most_places > line.size() ? most_places - line.size() : 0;
    const double spacing = std::max(0.5, length_m(line) / static_cast<double>(spare + 1));
    std::vector<Point> places{line.front()};
    for (std::size_t i = 1; i < line.size(); ++i) {
        const auto parts = static_cast<int>(std::max(1.0, std::floor(distance_m(line[i - 1], line[i]) / spacing)));
        for (int k = 1; k <= parts; ++k) {
            const double share = static_cast<double>(k) / parts;
            places.push_back({.x_m = line[i - 1].x_m + share * (line[i].x_m - line[i - 1].x_m),
                              .y_m = line[i - 1].y_m + share * (line[i].y_m - line[i - 1].y_m)});
        }
    }
    return places;
}

/// Price of every chord at one mean cut; infinity where it breaks a rule.
std::vector<double> chord_prices(TrueLine& meter, const std::vector<Point>& places, double mean_cut_m)
{
    const std::size_t n = places.size();
    std::vector<double> prices(n * n, infinity);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = i + 1; j < n; ++j) {
            const TrueRun& run = meter.run({.upper = places[i], .lower = places[j], .to_end = j + 1 == n});
            if (!run.fault) {
                double price = run.flat_price;
                for (const auto& piece : run.pieces) {
                    price += piece.dig_price * mean_cut_m;
                }
                prices[i * n + j] = price;
            }
        }
    }
    return prices;
}

double price_at_bend(const Point& a, const Point& b, const Point& c, const RouteRules& rules)
{
    const bool long_enough = distance_m(b, c) >= rules.least_run_m;
    return long_enough ? bend_price(turn_rad(a, b, c), rules).value_or(infinity) : infinity;
}

/// Cheapest way to each chord (i, j), the bend into it priced.
struct Chains {
    std::vector<double> price;
    std::vector<std::size_t> before; ///< the place before i
};
Chains chains_over(const std::vector<Point>& places, const std::vector<double>& chords, const RouteRules& rules)
{
    const std::size_t n = places.size();
    Chains chains{.price = std::vector<double>(n * n, infinity), .before = std::vector<std::size_t>(n * n, 0)};
    for (std::size_t j = 1; j < n; ++j) {
        chains.price[j] = chords[j];
    }
    for (std::size_t i = 1; i < n; ++i) {
        for (std::size_t j = i + 1; j < n; ++j) {
            for (std::size_t k = 0; k < i && chords[i * n + j] < infinity; ++k) {
                const double so_far = chains.price[k * n + i] + chords[i * n + j];
                if (so_far < chains.price[i * n + j]) {
                    const double price = so_far + price_at_bend(places[k], places[i], places[j], rules);
                    if (price < chains.price[i * n + j]) {
                        chains.price[i * n + j] = price;
                        chains.before[i * n + j] = k;
                    }
                }
            }
        }
    }
    return chains;
}

/// Price per metre of cut and the cut it is paid for, over the whole line.
double mean_cut_m(TrueLine& meter, const PricedLine& line)
{
    double flat = 0;
    double dig = 0;
    for (std::size_t i = 1; i < line.downstream.size(); ++i) {
        const TrueRun& run = meter.run(
            {.upper = line.downstream[i - 1], .lower = line.downstream[i], .to_end = i + 1 == line.downstream.size()});
        flat += run.flat_price;
        for (const auto& piece : run.pieces) {
            dig += piece.dig_price;
        }
    }
    return dig > 0 ? std::max(0.0, line.cost.price - flat) / dig : 0;
}

} // namespace

std::optional<PricedLine> best_chain(TrueLine& meter, const PricedLine& line, const RouteRules& rules)
{
    const auto places = places_on(line.downstream);
    const std::size_t n = places.size();
    const auto chords = chord_prices(meter, places, mean_cut_m(meter, line));
    const auto chains = chains_over(places, chords, rules);
    std::size_t best = n;
    for (std::size_t i = 0; i + 1 < n; ++i) {
        const double price = chains.price[i * n + n - 1];
        if (price < infinity && (best == n || price < chains.price[best * n + n - 1])) {
            best = i;
        }
    }
    if (best == n) {
        return std::nullopt;
    }
    Polyline chain{places[n - 1]};
    for (std::size_t i = best, j = n - 1;;) {
        chain.push_back(places[i]);
        if (i == 0) {
            break;
        }
        const std::size_t before = chains.before[i * n + j];
        j = i;
        i = before;
    }
    std::reverse(chain.begin(), chain.end());
    chain = without_straight_vertices(chain);
    TrueCost cost = meter.cost(chain, line.end);
    return PricedLine{.downstream = std::move(chain), .end = line.end, .cost = std::move(cost)};
}

} // namespace trenchwright
