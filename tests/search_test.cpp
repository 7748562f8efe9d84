#include "plain_rules.hpp"
#include "random_lattice.hpp"
#include "trenchwright/route/buckets.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <boost/graph/r_c_shortest_paths.hpp>
#include <boost/property_map/function_property_map.hpp>
#include <catch2/catch.hpp>
#include <functional>
#include <limits>
#include <optional>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// Every route that visits no state twice, without any bound or dominance.
std::optional<std::int64_t> brute_force(const Yard& yard)
{
    std::optional<std::int64_t> best;
    std::vector<char> seen(yard.lattice.step_cost_micro.size(), 0);
    const std::function<void(int, int, Carried)> visit = [&](int cell, int heading, Carried at) {
        if (best && at.cost_micro >= *best) {
            return;
        }
        if (const auto cost = at_end(yard, cell, heading, at)) {
            best = *cost;
        }
        const auto state = static_cast<std::size_t>(cell * yard.lattice.headings + heading);
        if (seen[state] != 0) {
            return;
        }
        seen[state] = 1;
        for_moves(yard, cell, heading, [&](const Move& move, int to) {
            if (const auto next = after_move(yard, move, at)) {
                visit(to, move.heading, *next);
            }
        });
        seen[state] = 0;
    };
    for (const auto& start : yard.starts) {
        visit(start.cell, start.heading, {.cost_micro = start.cost_micro, .invert_um = start.invert_um});
    }
    return best;
}

// --- Boost.Graph as reference -----------------------------------------------------------------

struct VertexId {
    int num = 0;
};
struct MoveEdge {
    int num = 0;
    Move move;
    int kind = 0; ///< 0 move, 1 from the super source, 2 to the super sink
    int index = 0;
};
using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, VertexId, MoveEdge>;

Graph graph_of(const Yard& yard)
{
    const int states = static_cast<int>(yard.lattice.step_cost_micro.size());
    Graph graph;
    for (int i = 0; i < states + 2; ++i) {
        add_vertex(VertexId{i}, graph);
    }
    int edges = 0;
    for (int cell = 0; cell < yard.lattice.cells(); ++cell) {
        for (int h = 0; yard.lattice.open[static_cast<std::size_t>(cell)] != 0 && h < yard.lattice.headings; ++h) {
            for_moves(yard, cell, h, [&](const Move& move, int to) {
                add_edge(static_cast<std::size_t>(cell * yard.lattice.headings + h),
                         static_cast<std::size_t>(to * yard.lattice.headings + move.heading),
                         MoveEdge{edges++, move, 0, 0}, graph);
            });
        }
    }
    for (std::size_t i = 0; i < yard.starts.size(); ++i) {
        const auto& s = yard.starts[i];
        add_edge(static_cast<std::size_t>(states), static_cast<std::size_t>(s.cell * yard.lattice.headings + s.heading),
                 MoveEdge{edges++, {}, 1, static_cast<int>(i)}, graph);
    }
    for (std::size_t i = 0; i < yard.finishes.size(); ++i) {
        const auto& f = yard.finishes[i];
        add_edge(static_cast<std::size_t>(f.cell * yard.lattice.headings + f.heading),
                 static_cast<std::size_t>(states) + 1, MoveEdge{edges++, {}, 2, static_cast<int>(i)}, graph);
    }
    return graph;
}

/// @param ceiling  dearer routes are not followed: a cheaper one than this would still be found
std::optional<std::int64_t> by_resource_constrained_paths(const Yard& yard, std::optional<std::int64_t> ceiling)
{
    const Graph graph = graph_of(yard);
    const auto states = yard.lattice.step_cost_micro.size();
    const auto extend = [&](const Graph& g, Carried& next, const Carried& at, Graph::edge_descriptor e) {
        const MoveEdge& edge = g[e];
        if (edge.kind == 1) {
            const auto& s = yard.starts[static_cast<std::size_t>(edge.index)];
            next = {.cost_micro = s.cost_micro, .invert_um = s.invert_um};
            return true;
        }
        if (edge.kind == 2) {
            next = at;
            return at.invert_um >= yard.finishes[static_cast<std::size_t>(edge.index)].lowest_um;
        }
        const auto moved = after_move(yard, edge.move, at);
        next = moved.value_or(at);
        return moved.has_value() && !(ceiling && moved->cost_micro > *ceiling);
    };
    const auto dominates = [](const Carried& a, const Carried& b) {
        return a.cost_micro <= b.cost_micro && a.invert_um >= b.invert_um;
    };
    std::vector<std::vector<Graph::edge_descriptor>> paths;
    std::vector<Carried> ends;
    boost::r_c_shortest_paths(graph, get(&VertexId::num, graph), get(&MoveEdge::num, graph), vertex(states, graph),
                              vertex(states + 1, graph), paths, ends, Carried{}, extend, dominates);
    std::optional<std::int64_t> best;
    for (const auto& end : ends) {
        best = best ? std::min(*best, end.cost_micro) : end.cost_micro;
    }
    return best;
}

std::optional<std::int64_t> by_search(const Yard& yard)
{
    const auto outcome = cheapest_draining_path(yard.problem());
    const auto* path = std::get_if<FoundPath>(&outcome);
    return path != nullptr ? std::optional(path->cost_micro) : std::nullopt;
}

} // namespace

TEST_CASE("a bucket queue gives back every item, bucket after bucket, keys below 0 first", "[search]")
{
    BucketQueue queue(4);
    const std::vector<std::int64_t> keys{17, -5, 3, 0, 4, 1'000, -9'000'000'000, 5};
    for (std::size_t i = 0; i < keys.size(); ++i) {
        queue.push(keys[i], static_cast<std::int32_t>(i));
    }
    std::vector<std::int64_t> popped;
    while (const auto item = queue.pop()) {
        CHECK(item->key == keys[static_cast<std::size_t>(item->id)]);
        popped.push_back(item->key);
    }
    CHECK(std::is_permutation(popped.begin(), popped.end(), keys.begin(), keys.end()));
    CHECK(std::is_sorted(popped.begin(), popped.end(), [](std::int64_t a, std::int64_t b) {
        return std::max<std::int64_t>(0, a) / 4 < std::max<std::int64_t>(0, b) / 4;
    }));
}

TEST_CASE("on tiny lattices the search finds what brute force over every route finds", "[search]")
{
    int found = 0;
    int none = 0;
    for (unsigned seed = 0; seed < 60; ++seed) {
        const Yard yard = random_yard(3 + static_cast<int>(seed % 2), 3, 8, static_cast<Fall>(seed % 4), seed);
        const auto reference = brute_force(yard);
        INFO("seed " << seed);
        CHECK(by_search(yard) == reference);
        (reference ? found : none) += 1;
    }
    CHECK(found >= 15);
    CHECK(none >= 5);
}

TEST_CASE("the optimum under fall is that of Boost.Graph's resource-constrained shortest paths", "[search]")
{
    // Reference: Boost.Graph 1.74 r_c_shortest_paths, all-solutions overload; 240 yards.
    int found = 0;
    int none = 0;
    int binding = 0;
    for (unsigned seed = 0; seed < 240; ++seed) {
        const int headings = seed % 3 == 0 ? 16 : 8;
        Yard yard = random_yard(headings == 8 ? 6 : 5, headings == 8 ? 4 : 3, headings, static_cast<Fall>(seed % 4),
                                1000 + seed);
        const auto found_here = by_search(yard);
        const auto reference = by_resource_constrained_paths(yard, found_here);
        INFO("seed " << seed);
        CHECK(found_here == reference);
        (reference ? found : none) += 1;
        for (auto& fall : yard.lattice.fall_um) {
            fall = 0;
        }
        binding += by_search(yard) != reference ? 1 : 0;
    }
    CHECK(found >= 100);
    CHECK(none >= 20);    // yards where nothing drains
    CHECK(binding >= 40); // yards where the fall changes the answer
}

TEST_CASE("without fall and depth the search is Boost.Graph's Dijkstra", "[search]")
{
    for (unsigned seed = 0; seed < 40; ++seed) {
        Yard yard = random_yard(24, 18, seed % 2 == 0 ? 8 : 16, Fall::slack, 2000 + seed);
        std::fill(yard.lattice.step_dig_cost_micro_per_m.begin(), yard.lattice.step_dig_cost_micro_per_m.end(), 0);
        yard.lattice.fall_um.fill(0);
        std::fill(yard.lattice.lowest_um.begin(), yard.lattice.lowest_um.end(), to_um(-100, 0));
        for (auto& finish : yard.finishes) {
            finish.lowest_um = to_um(-100, 0);
        }
        const Graph graph = graph_of(yard);
        const auto states = yard.lattice.step_cost_micro.size();
        const auto weight = boost::make_function_property_map<Graph::edge_descriptor>([&](Graph::edge_descriptor e) {
            const MoveEdge& edge = graph[e];
            if (edge.kind != 0) {
                return std::int64_t{0};
            }
            return after_move(yard, edge.move, {.cost_micro = 0, .invert_um = to_um(50, 0)})->cost_micro;
        });
        std::vector<std::int64_t> distance(num_vertices(graph));
        boost::dijkstra_shortest_paths(graph, vertex(states, graph),
                                       boost::weight_map(weight).distance_map(boost::make_iterator_property_map(
                                           distance.begin(), get(boost::vertex_index, graph))));
        const auto found = by_search(yard);
        INFO("seed " << seed);
        const bool reachable = distance[states + 1] < std::numeric_limits<std::int64_t>::max();
        REQUIRE(found.has_value() == reachable);
        CHECK((!found || *found == distance[states + 1]));
    }
}

TEST_CASE("a path found adds up to its own price and keeps the rules step by step", "[search]")
{
    for (unsigned seed = 0; seed < 30; ++seed) {
        const Yard yard = random_yard(40, 30, 8, Fall::mixed, 3000 + seed);
        const auto outcome = cheapest_draining_path(yard.problem());
        const auto* path = std::get_if<FoundPath>(&outcome);
        if (path == nullptr) {
            continue;
        }
        const auto& start = yard.starts[path->start];
        Carried at{.cost_micro = start.cost_micro, .invert_um = start.invert_um};
        int heading = start.heading;
        INFO("seed " << seed);
        for (std::size_t i = 1; i < path->cells.size(); ++i) {
            int step = -1;
            for (int h = 0; h < 8; ++h) {
                step = yard.lattice.stepped(path->cells[i - 1], h) == path->cells[i] ? h : step;
            }
            REQUIRE(step >= 0);
            at.cost_micro += yard.lattice.turn(heading, step);
            const auto next = after_step(yard, path->cells[i - 1], step, at);
            REQUIRE(next.has_value());
            at = *next;
            heading = step;
        }
        CHECK(at.cost_micro == path->cost_micro);
        CHECK(at.invert_um == path->invert_um);
        CHECK(at.invert_um >= yard.finishes[path->finish].lowest_um);
    }
}

TEST_CASE("the missing fall that is reported is just what makes the yard drain", "[search]")
{
    int seen = 0;
    for (unsigned seed = 0; seed < 40; ++seed) {
        Yard yard = random_yard(24, 18, 8, Fall::infeasible, 4000 + seed);
        const auto outcome = cheapest_draining_path(yard.problem());
        const auto* none = std::get_if<NoPath>(&outcome);
        if (none == nullptr || none->why != NoPath::Why::falls_short) {
            continue;
        }
        ++seen;
        INFO("seed " << seed);
        std::fill(yard.lattice.lowest_um.begin(), yard.lattice.lowest_um.end(), to_um(-100, 0)); // no depth limit
        const auto lowered = [&](std::int32_t by_um) {
            Yard other = yard;
            for (auto& finish : other.finishes) {
                finish.lowest_um -= by_um;
            }
            return lowest_draining(other.problem(), 0, 0)[0] <= other.starts[0].invert_um;
        };
        CHECK(lowered(none->short_um));
        CHECK_FALSE(lowered(none->short_um - 200));
    }
    CHECK(seen >= 20);
}

TEST_CASE("a spent label budget gives a route with a proven gap, never a wrong optimum", "[search]")
{
    int spent = 0;
    for (unsigned seed = 0; seed < 20; ++seed) {
        const Yard yard = random_yard(60, 45, 8, Fall::binding, 5000 + seed);
        const auto exact = by_search(yard);
        const auto outcome = cheapest_draining_path(yard.problem(300));
        if (const auto* path = std::get_if<FoundPath>(&outcome)) {
            REQUIRE(exact.has_value());
            CHECK(path->cost_micro >= *exact);
            CHECK(path->cost_micro - path->gap_cost_micro <= *exact);
            spent += path->gap_cost_micro > 0 || path->labels > 300 ? 1 : 0;
        } else {
            const auto why = std::get<NoPath>(outcome).why;
            CHECK((why == NoPath::Why::budget || !exact.has_value()));
            spent += why == NoPath::Why::budget ? 1 : 0;
        }
    }
    CHECK(spent >= 3);
}
