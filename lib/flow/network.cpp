#include "flow/network.hpp"

#include "flow/checks.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

/// How many nodes lead to each node.
std::vector<std::size_t> upstream_counts(std::span<const FlowNode> nodes)
{
    std::vector<std::size_t> counts(nodes.size(), 0);
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        check_not_below_zero(ErrorKind::internal, fmt::format("inflow of node {} (m3/s)", i), nodes[i].inflow_m3ps);
        if (const auto next = nodes[i].downstream) {
            if (*next >= nodes.size()) {
                throw Error(ErrorKind::internal,
                            fmt::format("node {} drains to node {} of {}", i, *next, nodes.size()));
            }
            ++counts[*next];
        }
    }
    return counts;
}

/// Every node after all nodes that lead to it.
std::vector<std::size_t> downstream_order(std::span<const FlowNode> nodes)
{
    std::vector<std::size_t> waiting = upstream_counts(nodes);
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        if (waiting[i] == 0) {
            order.push_back(i);
        }
    }
    for (std::size_t done = 0; done < order.size(); ++done) {
        const auto next = nodes[order[done]].downstream;
        if (next && --waiting[*next] == 0) {
            order.push_back(*next);
        }
    }
    if (order.size() != nodes.size()) {
        throw Error(ErrorKind::internal, "the drain's nodes lead in a circle");
    }
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
