#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/network.hpp"
#include "flow_units.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <numeric>

using namespace trenchwright;

namespace {

/// A random drain: every node but the outlet leads to one drawn before it, and then all are shuffled.
std::vector<FlowNode> random_drain()
{
    const int size = *rc::gen::inRange(1, 60);
    std::vector<std::size_t> place(static_cast<std::size_t>(size));
    std::iota(place.begin(), place.end(), std::size_t{0});
    for (std::size_t i = place.size(); i > 1; --i) {
        std::swap(place[i - 1], place[*rc::gen::inRange<std::size_t>(0, i)]);
    }
    std::vector<FlowNode> nodes(place.size());
    for (std::size_t i = 0; i < place.size(); ++i) {
        nodes[place[i]].inflow_m3ps = *flow_units::between(0, 0.01);
        if (i > 0) {
            nodes[place[i]].downstream = place[*rc::gen::inRange<std::size_t>(0, i)];
        }
    }
    return nodes;
}

/// What a node gathers, by walking down from every source: another method than the library's.
std::vector<double> gathered_by_walking(const std::vector<FlowNode>& nodes)
{
    std::vector<double> flows(nodes.size(), 0);
    for (const auto& source : nodes) {
        for (std::optional<std::size_t> at = static_cast<std::size_t>(&source - nodes.data()); at;
             at = nodes[*at].downstream) {
            flows[*at] += source.inflow_m3ps;
        }
    }
    return flows;
}

} // namespace

TEST_CASE("a trunk gathers its branches on the way down", "[flow][network]")
{
    // Outlet 0; junction 1 above it with downspouts 2 and 3; the sump 4 joins at the outlet.
    const std::vector<FlowNode> nodes = {{.downstream = {}, .inflow_m3ps = 0},
                                         {.downstream = 0, .inflow_m3ps = 0},
                                         {.downstream = 1, .inflow_m3ps = 2},
                                         {.downstream = 1, .inflow_m3ps = 3},
                                         {.downstream = 0, .inflow_m3ps = 4}};
    CHECK(gathered_flows_m3ps(nodes) == std::vector<double>{9, 5, 2, 3, 4});
    CHECK(gathered_flows_m3ps({}).empty());
}

TEST_CASE("flow is kept at every junction of random drains", "[flow][network]")
{
    rc::prop("what leaves a node is its inflow and what its branches bring", [] {
        const auto nodes = random_drain();
        const auto flows = gathered_flows_m3ps(nodes);
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            double arriving = nodes[i].inflow_m3ps;
            for (std::size_t k = 0; k < nodes.size(); ++k) {
                arriving += nodes[k].downstream == i ? flows[k] : 0;
            }
            RC_ASSERT(flows[i] == Approx(arriving).epsilon(1e-12));
        }
    });
    rc::prop("walking every source down to the outlet gives the same", [] {
        const auto nodes = random_drain();
        const auto flows = gathered_flows_m3ps(nodes);
        const auto walked = gathered_by_walking(nodes);
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            RC_ASSERT(flows[i] == Approx(walked[i]).epsilon(1e-12));
        }
    });
    rc::prop("a drain bent into a circle is found", [] {
        auto nodes = random_drain();
        const auto outlet = std::find_if(nodes.begin(), nodes.end(), [](const auto& n) { return !n.downstream; });
        outlet->downstream = *rc::gen::inRange<std::size_t>(0, nodes.size());
        RC_ASSERT_THROWS_AS(gathered_flows_m3ps(nodes), Error);
    });
}

TEST_CASE("a drain with a bad node stops the run as our own mistake", "[flow][network]")
{
    const auto kind = [](const std::vector<FlowNode>& nodes) {
        try {
            gathered_flows_m3ps(nodes);
        } catch (const Error& error) {
            return error.kind();
        }
        return ErrorKind::usage;
    };
    CHECK(kind({{.downstream = 1, .inflow_m3ps = 0}}) == ErrorKind::internal);
    CHECK(kind({{.downstream = 0, .inflow_m3ps = 0}}) == ErrorKind::internal);
    CHECK(kind({{.downstream = {}, .inflow_m3ps = -1}}) == ErrorKind::internal);
    CHECK(kind({{.downstream = {}, .inflow_m3ps = std::numeric_limits<double>::quiet_NaN()}}) == ErrorKind::internal);
}
