#pragma once

#include "trenchwright/ground/ground.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// The ground along one wall of a house, square out from it.
struct WallGrade {
    Point from = {}; ///< the wall's ends
    Point to = {};
    std::optional<double> min_fall_m =
        {};            ///< over the reach, where it is least; nothing: ground is not known all along
    Point min_at = {}; ///< on the wall
    friend bool operator==(const WallGrade&, const WallGrade&) = default;
};

/// For every wall the least fall of the ground from the wall to a line reach_m out from it. Exact on a surface of
/// triangles: both heights run straight between the places where the two lines cross its edges. On a grid at steps of
/// step_m. Places whose far end lies in the house itself are left out. Walls shorter than shortest_m are left out.
std::vector<WallGrade> grade_away(const Ground& ground, const std::vector<Polygon>& houses, double reach_m,
                                  double step_m, double shortest_m);

} // namespace trenchwright
