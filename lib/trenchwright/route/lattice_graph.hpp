#pragma once

#include "trenchwright/route/search.hpp"

#include <boost/graph/graph_concepts.hpp>
#include <boost/graph/graph_traits.hpp>
#include <boost/iterator/counting_iterator.hpp>
#include <boost/iterator/iterator_facade.hpp>
#include <boost/property_map/property_map.hpp>
#include <utility>

/// The lattice as a graph of Boost.Graph, for whoever wants to run its algorithms on it. The one header of the library
/// that needs Boost; nothing else includes it.
namespace trenchwright {

/// The lattice as an implicit graph: vertices are (cell, heading), edges are the search's own moves (a step straight
/// on, or a turn and its least straight run) at their price without depth. No edge is stored.
///
/// A model of VertexListGraph and IncidenceGraph. The lattice must outlive the graph.
struct LatticeGraph {
    const Lattice* lattice = nullptr;
};

struct LatticeEdge {
    int from = 0;
    int to = 0;
    std::int64_t cost_micro = 0;
    friend bool operator==(const LatticeEdge&, const LatticeEdge&) = default;
};

/// The move of a vertex into a heading; `to` is -1 where there is none.
inline LatticeEdge move_into(const Lattice& lattice, int from, int heading)
{
    const int before = from % lattice.headings;
    const std::int64_t turn = lattice.turn(before, heading);
    const int steps = before == heading ? 1 : lattice.run_steps[static_cast<std::size_t>(heading)];
    LatticeEdge edge{.from = from, .to = -1, .cost_micro = turn};
    int cell = from / lattice.headings;
    for (int i = 0; i < steps && turn >= 0; ++i) {
        const std::int64_t cost_micro =
            lattice.step_cost_micro[static_cast<std::size_t>(cell * lattice.headings + heading)];
        if (cost_micro < 0) {
            return edge;
        }
        edge.cost_micro += cost_micro;
        cell = lattice.stepped(cell, heading);
    }
    edge.to = turn >= 0 ? cell * lattice.headings + heading : -1;
    return edge;
}

class MoveIterator
    : public boost::iterator_facade<MoveIterator, LatticeEdge, boost::forward_traversal_tag, LatticeEdge> {
  public:
    MoveIterator() = default;
    MoveIterator(const Lattice* lattice, int from, int heading) : lattice_(lattice), from_(from), heading_(heading)
    {
        settle();
    }

  private:
    friend class boost::iterator_core_access;
    void settle()
    {
        for (; heading_ < lattice_->headings; ++heading_) {
            edge_ = move_into(*lattice_, from_, heading_);
            if (edge_.to >= 0) {
                return;
            }
        }
    }
    void increment()
    {
        ++heading_;
        settle();
    }
    [[nodiscard]] bool equal(const MoveIterator& other) const { return heading_ == other.heading_; }
    [[nodiscard]] LatticeEdge dereference() const { return edge_; }

    const Lattice* lattice_ = nullptr;
    int from_ = 0;
    int heading_ = 0;
    LatticeEdge edge_;
};

inline std::pair<MoveIterator, MoveIterator> out_edges(int vertex, const LatticeGraph& graph)
{
    return {MoveIterator(graph.lattice, vertex, 0), MoveIterator(graph.lattice, vertex, graph.lattice->headings)};
}
inline std::size_t out_degree(int vertex, const LatticeGraph& graph)
{
    const auto [first, last] = out_edges(vertex, graph);
    return static_cast<std::size_t>(std::distance(first, last));
}
inline int source(const LatticeEdge& edge, const LatticeGraph& /*graph*/)
{
    return edge.from;
}
inline int target(const LatticeEdge& edge, const LatticeGraph& /*graph*/)
{
    return edge.to;
}
inline std::size_t num_vertices(const LatticeGraph& graph)
{
    return graph.lattice->step_cost_micro.size();
}
inline std::pair<boost::counting_iterator<int>, boost::counting_iterator<int>> vertices(const LatticeGraph& graph)
{
    return {boost::counting_iterator<int>(0), boost::counting_iterator<int>(static_cast<int>(num_vertices(graph)))};
}

/// Weights straight from the edge.
struct MoveCost {
    using key_type = LatticeEdge;
    using value_type = std::int64_t;
    using reference = std::int64_t;
    using category = boost::readable_property_map_tag;
};
inline std::int64_t get(const MoveCost& /*map*/, const LatticeEdge& edge)
{
    return edge.cost_micro;
}

} // namespace trenchwright

namespace boost {

template <> struct graph_traits<trenchwright::LatticeGraph> {
    using vertex_descriptor = int;
    using edge_descriptor = trenchwright::LatticeEdge;
    using directed_category = directed_tag;
    using edge_parallel_category = disallow_parallel_edge_tag;
    struct traversal_category : incidence_graph_tag, vertex_list_graph_tag {};
    using vertices_size_type = std::size_t;
    using edges_size_type = std::size_t;
    using degree_size_type = std::size_t;
    using out_edge_iterator = trenchwright::MoveIterator;
    using vertex_iterator = counting_iterator<int>;
    static int null_vertex() { return -1; }
};

} // namespace boost
