#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/straighten.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dag_shortest_paths.hpp>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// More places than this cost more time than they save trench.
constexpr std::size_t max_places = 22;

/// The line's vertices and places evenly between them.
std::vector<Point> places_on(const Polyline& line)
{
    const std::size_t spare = max_places > line.size() ? max_places - line.size() : 0;
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
    const bool long_enough = distance_m(b, c) >= rules.min_run_m;
    return long_enough ? bend_price(turn_rad(a, b, c), rules).value_or(infinity) : infinity;
}

/// The chords as a graph: a vertex for each chord (i, j), an edge from it to each chord (j, k) that a bend may follow
/// with; weights are the second chord and the bend. Before the first chords stands a start, behind the last an end.
using ChordGraph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                                         boost::property<boost::edge_weight_t, double>>;

struct Chords {
    std::size_t places = 0;
    ChordGraph graph;
    [[nodiscard]] std::size_t chord(std::size_t i, std::size_t j) const { return i * places + j; }
    [[nodiscard]] std::size_t start() const { return places * places; }
    [[nodiscard]] std::size_t end() const { return places * places + 1; }
};

Chords chords_of(const std::vector<Point>& places, const std::vector<double>& prices, const RouteRules& rules)
{
    const std::size_t n = places.size();
    Chords chords{.places = n, .graph = ChordGraph(n * n + 2)};
    for (std::size_t j = 1; j < n; ++j) {
        if (prices[j] < infinity) {
            boost::add_edge(chords.start(), chords.chord(0, j), prices[j], chords.graph);
        }
        for (std::size_t i = 0; i < j; ++i) {
            for (std::size_t k = j + 1; k < n && prices[chords.chord(i, j)] < infinity; ++k) {
                const double price = prices[chords.chord(j, k)];
                const double bend = price < infinity ? price_at_bend(places[i], places[j], places[k], rules) : infinity;
                if (bend < infinity) {
                    boost::add_edge(chords.chord(i, j), chords.chord(j, k), price + bend, chords.graph);
                }
            }
        }
    }
    for (std::size_t i = 0; i + 1 < n; ++i) {
        boost::add_edge(chords.chord(i, n - 1), chords.end(), 0.0, chords.graph);
    }
    return chords;
}

/// The places of the cheapest chain from the first to the last; none when no chain works.
std::vector<std::size_t> cheapest_chain(const Chords& chords)
{
    std::vector<std::size_t> before(boost::num_vertices(chords.graph));
    std::vector<double> price(before.size());
    boost::dag_shortest_paths(chords.graph, chords.start(),
                              boost::distance_map(price.data()).predecessor_map(before.data()));
    std::vector<std::size_t> chain;
    for (std::size_t at = before[chords.end()]; at != chords.start() && at != chords.end(); at = before[at]) {
        chain.push_back(at % chords.places);
    }
    if (!chain.empty()) {
        chain.push_back(0);
        std::ranges::reverse(chain);
    }
    return chain;
}

/// Price per meter of cut and the cut it is paid for, over the whole line.
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
    const auto prices = chord_prices(meter, places, mean_cut_m(meter, line));
    const auto picked = cheapest_chain(chords_of(places, prices, rules));
    if (picked.empty()) {
        return std::nullopt;
    }
    Polyline chain;
    for (const std::size_t place : picked) {
        chain.push_back(places[place]);
    }
    chain = without_straight_vertices(chain);
    TrueCost cost = meter.cost(chain, line.end);
    return PricedLine{.downstream = std::move(chain), .end = line.end, .cost = std::move(cost)};
}

} // namespace trenchwright
