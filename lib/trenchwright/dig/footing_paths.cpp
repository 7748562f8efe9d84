#include "trenchwright/dig/footing_paths.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>

namespace trenchwright {

namespace {

/// Where the end of one line meets another.
struct Meeting {
    std::size_t line = 0; ///< that ends
    bool at_last = false;
    std::size_t other = 0;
    double station_m = 0; ///< on the other
};

std::vector<Meeting> meetings_of(const std::vector<Polyline>& lines, double reach_m)
{
    std::vector<Meeting> meetings;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        for (const bool at_last : {false, true}) {
            const Point end = at_last ? lines[i].back() : lines[i].front();
            for (std::size_t j = 0; j < lines.size(); ++j) {
                if (j != i && distance_m(end, lines[j]) <= reach_m) {
                    meetings.push_back(
                        {.line = i, .at_last = at_last, .other = j, .station_m = station_of(lines[j], end)});
                }
            }
        }
    }
    return meetings;
}

/// Stations of a line's vertices and of the places where others run into it, rising, each once.
std::vector<double> stops_m(const std::vector<Polyline>& lines, std::size_t line, const std::vector<Meeting>& meetings)
{
    std::vector<double> stops{0};
    for (std::size_t i = 1; i < lines[line].size(); ++i) {
        stops.push_back(stops.back() + distance_m(lines[line][i - 1], lines[line][i]));
    }
    for (const auto& meeting : meetings) {
        if (meeting.other == line) {
            stops.push_back(std::clamp(meeting.station_m, 0.0, stops[lines[line].size() - 1]));
        }
    }
    std::ranges::sort(stops);
    stops.erase(std::unique(stops.begin(), stops.end()), stops.end());
    return stops;
}

} // namespace

PipeNet pipe_net(const std::vector<Polyline>& lines, double join_reach_m)
{
    const auto meetings = meetings_of(lines, join_reach_m);
    PipeNet net;
    std::vector<std::vector<double>> stops;
    std::vector<std::size_t> first;
    for (std::size_t line = 0; line < lines.size(); ++line) {
        stops.push_back(stops_m(lines, line, meetings));
        first.push_back(net.nodes.size());
        for (std::size_t i = 0; i < stops[line].size(); ++i) {
            net.nodes.push_back(point_at(lines[line], stops[line][i]));
            if (i > 0) {
                const auto node = net.nodes.size() - 1;
                net.pieces.push_back({.a = node - 1, .b = node, .length_m = stops[line][i] - stops[line][i - 1]});
            }
        }
        net.ends.emplace_back(first[line], net.nodes.size() - 1);
        if (distance_m(lines[line].front(), lines[line].back()) <= join_reach_m) {
            net.pieces.push_back({.a = net.ends[line].first, .b = net.ends[line].second, .length_m = 0});
        }
    }
    for (const auto& meeting : meetings) {
        const auto& own = net.ends[meeting.line];
        const auto stop = std::ranges::lower_bound(stops[meeting.other], meeting.station_m);
        const auto nth =
            std::min(stops[meeting.other].size() - 1, static_cast<std::size_t>(stop - stops[meeting.other].begin()));
        net.pieces.push_back(
            {.a = meeting.at_last ? own.second : own.first, .b = first[meeting.other] + nth, .length_m = 0});
    }
    return net;
}

namespace {

using PipeGraph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                        boost::property<boost::edge_weight_t, double>>;

PipeGraph graph_of(const PipeNet& net)
{
    PipeGraph graph(net.nodes.size());
    for (const auto& piece : net.pieces) {
        boost::add_edge(piece.a, piece.b, piece.length_m, graph);
    }
    return graph;
}

} // namespace

WaysToPits ways_to_pits(const PipeNet& net, const std::vector<std::size_t>& pits)
{
    const PipeGraph graph = graph_of(net);
    constexpr double unreachable_m = std::numeric_limits<double>::infinity();
    WaysToPits ways{.way_m = std::vector(net.nodes.size(), unreachable_m),
                    .pit = std::vector<std::size_t>(net.nodes.size(), 0)};
    // Few pits, so each by itself; of two as near the first one counts.
    for (std::size_t i = 0; i < pits.size(); ++i) {
        std::vector<double> way_m(net.nodes.size());
        // Colors of our own: the default map counts its references in a way the static analyzer takes for a double
        // free.
        std::vector<boost::default_color_type> colors(net.nodes.size());
        boost::dijkstra_shortest_paths(graph, pits[i], boost::dummy_property_map(), way_m.data(),
                                       get(boost::edge_weight, graph), get(boost::vertex_index, graph), std::less<>(),
                                       std::plus<>(), unreachable_m, 0.0, boost::default_dijkstra_visitor(),
                                       colors.data());
        for (std::size_t node = 0; node < way_m.size(); ++node) {
            if (way_m[node] < ways.way_m[node]) {
                ways.way_m[node] = way_m[node];
                ways.pit[node] = i;
            }
        }
    }
    return ways;
}

} // namespace trenchwright
