#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// Water gathered on its way down a drain: every reach carries what enters at its upper end and above.

/// A source or junction of a drain.
struct FlowNode {
    std::optional<std::size_t> downstream; ///< index of the next node; nothing at the outlet
    double inflow_m3ps = 0;                ///< what enters here from outside, 0 or more
    friend bool operator==(const FlowNode&, const FlowNode&) = default;
};

/// The flow that leaves each node: its own inflow and that of all nodes above it. At the outlet, the whole. Nodes stand
/// in any order; several outlets are several drains. Empty in, empty out.
/// @throws Error (internal) for a downstream index out of range, a circle, or an inflow below 0
///
/// Every node's flow is the sum of its inflow and the flows of the nodes that lead to it, checked at every junction
/// of random trees in tests/flow_network_test.cpp.
std::vector<double> gathered_flows_m3ps(std::span<const FlowNode> nodes);

} // namespace trenchwright
