#pragma once

#include "trenchwright/route/search.hpp"

#include <cstdint>
#include <span>
#include <variant>
#include <vector>

namespace trenchwright {

/// One source of a drain tree.
struct TreeSource {
    std::span<const Start> starts;
    bool pressure = false; ///< climbs freely until it joins
};

/// Where one trench of a drain may join another.
struct JunctionMoves {
    std::array<std::int64_t, 9> cost_micro{}; ///< per heading difference: the fitting; -1 not allowed
    std::int32_t rise_um = 0;                 ///< the branch's invert at least this far above the trunk's
    std::int32_t pressure_rise_um = 0;        ///< the same for a pressure line, which enters from above
};

/// Lattice, ways in and ways out of a drain with several sources.
struct TreeProblem {
    const Lattice& lattice;
    std::array<std::int32_t, 16> fall_um;
    std::span<const std::int32_t> highest_um;          ///< per cell, gravity pipe
    std::span<const std::int32_t> pressure_highest_um; ///< per cell, pressure pipe; empty without such a source
    std::span<const TreeSource> sources;               ///< 1 to 6
    std::span<const Finish> finishes;
    JunctionMoves junction;
    long long label_budget = 0;
};

/// Whether a set of sources is one pump's line, under pressure: it joins others, and nothing joins it.
bool is_pressure(const TreeProblem& problem, unsigned sources);

/// One source's own trench: to the junction on another's, or to the end.
struct TreeBranch {
    std::vector<int> cells; ///< from the start's cell down
    std::size_t start = 0;  ///< index into the source's starts
    int joins = -1;         ///< source whose trench it ends at; -1: the outlet
    friend bool operator==(const TreeBranch&, const TreeBranch&) = default;
};

/// The cheapest drain over the lattice.
struct FoundTree {
    std::vector<TreeBranch> branches; ///< in the order of the sources
    std::size_t finish = 0;
    std::int64_t cost_micro = 0;
    std::int64_t bound_cost_micro = 0; ///< the cheapest tree when no pipe's fall lowers those it joins
    std::int32_t invert_um = 0;        ///< at the end
    long long labels = 0;
    friend bool operator==(const FoundTree&, const FoundTree&) = default;
};

struct NoTree {
    bool budget = false; ///< the label budget ran out: proves nothing
    long long labels = 0;
    friend bool operator==(const NoTree&, const NoTree&) = default;
};

/// The cheapest tree that drains, over place, heading and invert together.
///
/// A label is (cost, invert) at a cell and heading for a set of sources whose water is gathered there; two labels of
/// disjoint sets at one cell join where a junction fits. Sets, states and inverts are searched best first with
/// HeadedTrees as the bound of what is still to pay ("Dijkstra meets Steiner", Hougardy, Silvanus and Vygen 2017), so
/// the first whole drain found is the cheapest on the lattice.
std::variant<FoundTree, NoTree> cheapest_draining_tree(const TreeProblem& problem);

} // namespace trenchwright
