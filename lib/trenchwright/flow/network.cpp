#include "trenchwright/flow/network.hpp"

#include "trenchwright/flow/checks.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/topological_sort.hpp>
#include <fmt/format.h>
#include <iterator>

namespace trenchwright {

namespace {

using DrainGraph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS>;

DrainGraph graph_of(std::span<const FlowNode> nodes)
{
    DrainGraph graph(nodes.size());
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        check_not_below_zero(ErrorKind::internal, fmt::format("inflow of node {} (m3/s)", i), nodes[i].inflow_m3ps);
        if (const auto next = nodes[i].downstream) {
            if (*next >= nodes.size()) {
                throw Error(ErrorKind::internal,
                            fmt::format("node {} drains to node {} of {}", i, *next, nodes.size()));
            }
            boost::add_edge(i, *next, graph);
        }
    }
    return graph;
}

/// Every node after all nodes that lead to it.
std::vector<std::size_t> downstream_order(std::span<const FlowNode> nodes)
{
    DrainGraph graph = graph_of(nodes);
    std::vector<std::size_t> order;
    try {
        // Colors of our own: the default map counts its references in a way the static analyzer takes for a double
        // free.
        std::vector<boost::default_color_type> colors(boost::num_vertices(graph));
        boost::topological_sort(graph, std::back_inserter(order), boost::color_map(colors.data()));
    } catch (const boost::not_a_dag&) {
        throw Error(ErrorKind::internal, "the drain's nodes lead in a circle");
    }
    std::ranges::reverse(order);
    return order;
}

} // namespace

std::vector<double> gathered_flows_m3ps(std::span<const FlowNode> nodes)
{
    std::vector<double> flows_m3ps(nodes.size(), 0);
    for (const std::size_t i : downstream_order(nodes)) {
        flows_m3ps[i] += nodes[i].inflow_m3ps;
        if (const auto next = nodes[i].downstream) {
            flows_m3ps[*next] += flows_m3ps[i];
        }
    }
    return flows_m3ps;
}

} // namespace trenchwright
