#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <cstddef>
#include <limits>
#include <utility>
#include <vector>

/// Lines that meet, as a net of pieces, and the way from each place to the nearest pit. Internal to the module.
namespace trenchwright {

/// A straight piece of pipe between two nodes; no length where two lines meet.
struct PipePiece {
    std::size_t a = 0;
    std::size_t b = 0;
    double length_m = 0;
};

struct PipeNet {
    std::vector<Point> nodes;
    std::vector<PipePiece> pieces;
    std::vector<std::pair<std::size_t, std::size_t>> ends; ///< first and last node of each line
};

/// @param join_reach_m  a line that ends this near another one runs into it
PipeNet pipe_net(const std::vector<Polyline>& lines, double join_reach_m);

/// From each node to the nearest of the given ones along the pipe.
struct WaysToPits {
    std::vector<double> way_m;    ///< infinite where no pit can be reached
    std::vector<std::size_t> pit; ///< index into the given ones
};
WaysToPits ways_to_pits(const PipeNet& net, const std::vector<std::size_t>& pits);

} // namespace trenchwright
