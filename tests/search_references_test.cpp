#include "random_lattice.hpp"
#include "trenchwright/route/lattice_graph.hpp"

#include <array>
#include <boost/graph/dijkstra_shortest_paths_no_color_map.hpp>
#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>
#include <limits>
#include <memory>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// Debian's python3, whose packages the tests install; another one on the path may lack them.
std::string output_of(const std::string& command)
{
    const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
    std::string text;
    std::array<char, 256> part{};
    while (pipe && std::fgets(part.data(), part.size(), pipe.get()) != nullptr) {
        text += part.data();
    }
    return text;
}

/// Everything that is not place and price taken out of a yard.
void without_fall_and_depth(Yard& yard)
{
    std::fill(yard.lattice.step_dig_cost_micro_per_m.begin(), yard.lattice.step_dig_cost_micro_per_m.end(), 0);
    std::fill(yard.lattice.lowest_um.begin(), yard.lattice.lowest_um.end(), to_um(-100, 0));
    yard.lattice.fall_um.fill(0);
    for (auto& finish : yard.finishes) {
        finish.lowest_um = to_um(-100, 0);
    }
}

} // namespace

TEST_CASE("without fall and bends the search is scikit-image's least cost over the same raster", "[search]")
{
    int reached = 0;
    for (unsigned seed = 0; seed < 6; ++seed) {
        Yard yard = random_yard(60, 40, 8, Fall::slack, 7000 + seed);
        without_fall_and_depth(yard);
        auto& l = yard.lattice;
        l.turn_cost_micro.fill(-1);
        std::fill_n(l.turn_cost_micro.begin(), 3, 0);
        l.run_steps.fill(1);
        // One price a cell; a step costs its length times the mean of its two cells, as MCP_Geometric has it.
        std::mt19937 random(seed);
        std::vector<int> price(static_cast<std::size_t>(l.cells()));
        for (auto& p : price) {
            p = 1000 + static_cast<int>(random() % 9000);
        }
        const std::string file = std::string(TRENCHWRIGHT_BINARY_DIR) + "/skimage_" + std::to_string(seed) + ".txt";
        std::ofstream raster(file);
        for (int cell = 0; cell < l.cells(); ++cell) {
            const auto u = static_cast<std::size_t>(cell);
            raster << (l.open[u] != 0 ? price[u] : -1) << (cell % l.cols == l.cols - 1 ? '\n' : ' ');
            for (int h = 0; h < 8; ++h) {
                auto& step = l.step_cost_micro[u * 8 + static_cast<std::size_t>(h)];
                if (step >= 0) {
                    const auto v = static_cast<std::size_t>(l.stepped(cell, h));
                    step = static_cast<std::int32_t>(
                        std::lround((price[u] + price[v]) / 2.0 * (h % 2 == 0 ? 1 : std::sqrt(2.0)) * 1000));
                }
            }
        }
        raster.close();
        const auto text = output_of("/usr/bin/python3 " TRENCHWRIGHT_SOURCE_DIR "/tests/skimage_check.py " + file);
        INFO("seed " << seed << ", scikit-image printed " << text);
        REQUIRE(!text.empty());
        const auto outcome = cheapest_draining_path(yard.problem());
        const auto* path = std::get_if<FoundPath>(&outcome);
        if (text.substr(0, 3) == "inf") {
            CHECK(path == nullptr);
            continue;
        }
        ++reached;
        REQUIRE(path != nullptr);
        const double cost = static_cast<double>(path->cost_micro) / 1000; // steps are rounded
        CHECK(cost == Approx(std::stod(text)).epsilon(1e-6));
    }
    CHECK(reached >= 3);
}

TEST_CASE("the implicit lattice as a Boost.Graph graph gives the search's cost", "[search]")
{
    BOOST_CONCEPT_ASSERT((boost::IncidenceGraphConcept<LatticeGraph>));
    BOOST_CONCEPT_ASSERT((boost::VertexListGraphConcept<LatticeGraph>));
    for (unsigned seed = 0; seed < 12; ++seed) {
        Yard yard = random_yard(64, 48, seed % 2 == 0 ? 8 : 16, Fall::slack, 8000 + seed);
        without_fall_and_depth(yard);
        yard.starts.resize(1); // heading 0 alone, as a vertex of the graph
        const LatticeGraph graph{&yard.lattice};
        const auto states = yard.lattice.step_cost_micro.size();
        const auto none = std::numeric_limits<std::int64_t>::max();
        std::vector<std::int64_t> distance(states, none);
        std::vector<int> before(states);
        distance[0] = 0;
        boost::dijkstra_shortest_paths_no_color_map_no_init(
            graph, 0, boost::make_iterator_property_map(before.begin(), boost::typed_identity_property_map<int>()),
            boost::make_iterator_property_map(distance.begin(), boost::typed_identity_property_map<int>()), MoveCost(),
            boost::typed_identity_property_map<int>(), std::less<>(), std::plus<>(), none, std::int64_t{0},
            boost::dijkstra_visitor<>());
        const auto best = *std::min_element(distance.end() - yard.lattice.headings, distance.end());
        const auto outcome = cheapest_draining_path(yard.problem());
        const auto* path = std::get_if<FoundPath>(&outcome);
        INFO("seed " << seed);
        CHECK((path != nullptr ? path->cost_micro : none) == best);
    }
}
