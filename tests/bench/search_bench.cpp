// The search under fall against Boost.Graph's Dijkstra without fall on the same lattice, in one run. Prints ratios;
// nothing here passes or fails.
#include "../random_lattice.hpp"
#include "figures.hpp"
#include "trenchwright/route/lattice_graph.hpp"

#include <algorithm>
#include <boost/graph/dijkstra_shortest_paths_no_color_map.hpp>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <sys/resource.h>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// Full field from the start's cell over (cell, heading).
double boost_dijkstra_s(const Yard& yard)
{
    const LatticeGraph graph{&yard.lattice};
    const auto states = yard.lattice.step_cost_micro.size();
    std::vector<std::int64_t> distance(states, std::numeric_limits<std::int64_t>::max());
    std::vector<int> before(states);
    return seconds_of([&] {
        distance[0] = 0;
        boost::dijkstra_shortest_paths_no_color_map_no_init(
            graph, 0, boost::make_iterator_property_map(before.begin(), boost::typed_identity_property_map<int>()),
            boost::make_iterator_property_map(distance.begin(), boost::typed_identity_property_map<int>()), MoveCost(),
            boost::typed_identity_property_map<int>(), std::less<>(), std::plus<>(),
            std::numeric_limits<std::int64_t>::max(), std::int64_t{0}, boost::dijkstra_visitor<>());
    });
}

struct Row {
    double ours_s = 0;
    double boost_s = 0;
    double labels_per_cell = 0;
    bool drains = false;
    bool gap = false;
};

Row measure(int side, int headings, Fall fall, unsigned seed, long long budget)
{
    const Yard yard = random_yard(side, side, headings, fall, seed);
    Row row;
    row.boost_s = boost_dijkstra_s(yard);
    std::variant<FoundPath, NoPath> outcome;
    row.ours_s = seconds_of([&] { outcome = cheapest_draining_path(yard.problem(budget)); });
    const auto* path = std::get_if<FoundPath>(&outcome);
    row.drains = path != nullptr;
    row.gap = path != nullptr ? path->gap_cost_micro > 0 : std::get<NoPath>(outcome).why == NoPath::Why::budget;
    const long long labels = path != nullptr ? path->labels : std::get<NoPath>(outcome).labels;
    row.labels_per_cell = static_cast<double>(labels) / yard.lattice.cells();
    return row;
}

double peak_mb()
{
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024;
}

} // namespace

int main(int argc, char** argv)
{
    const unsigned yards = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 20;
    const long long budget = argc > 2 ? std::atoll(argv[2]) : 20'000'000;
    std::printf("%u random yards a line; label budget %lld; Boost: dijkstra_shortest_paths without fall\n", yards,
                budget);
    std::printf("%-6s %-9s %-11s %7s %8s %9s %9s %8s %8s %9s %9s %8s\n", "cells", "headings", "fall", "drain", "budget",
                "median s", "worst s", "ratio", "worst", "labels/c", "worst", "peak MB");
    for (const int side : {256, 512}) {
        for (const int headings : {8, 16}) {
            for (const auto& [fall, name] : {std::pair{Fall::slack, "slack"}, std::pair{Fall::binding, "binding"},
                                             std::pair{Fall::infeasible, "infeasible"}}) {
                std::vector<Row> rows;
                for (unsigned seed = 0; seed < yards; ++seed) {
                    rows.push_back(measure(side, headings, fall, 100 + seed, budget));
                }
                const auto [time, worst_time] = median_and_worst(rows, [](const Row& r) { return r.ours_s; });
                const auto [ratio, worst_ratio] =
                    median_and_worst(rows, [](const Row& r) { return r.ours_s / r.boost_s; });
                const auto [labels, worst_labels] =
                    median_and_worst(rows, [](const Row& r) { return r.labels_per_cell; });
                const auto drain = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return r.drains; });
                const auto spent = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return r.gap; });
                std::printf("%-6d %-9d %-11s %7td %8td %9.4f %9.4f %8.2f %8.2f %9.3f %9.3f %8.0f\n", side, headings,
                            name, drain, spent, time, worst_time, ratio, worst_ratio, labels, worst_labels, peak_mb());
                std::fflush(stdout);
            }
        }
    }
    return 0;
}
