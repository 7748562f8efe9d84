#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// A raster read bilinearly between its cell centers. Every const member may be called from several threads.
class Dem {
  public:
    /// @param edge_reach_m  beside the grid's own edge the height is that of the edge, so far out
    /// @throws Error (input) for under 2 x 2 cells, a count of values that does not fit, steps that span
    ///         no area, or an infinite value; NaN is a cell without data
    explicit Dem(Raster raster, double edge_reach_m = 0);

    /// Nothing where a center that carries weight has no data, or farther outside than `edge_m` and the edge's reach.
    [[nodiscard]] std::optional<double> elev_m(const Point& p, double edge_m) const;

    /// Distances from a along a-b at which lines of cell centers are crossed, with 0 and the length;
    /// nothing when any part has no ground.
    [[nodiscard]] std::optional<std::vector<double>> breaks_m(const Point& a, const Point& b) const;

    /// To the nearest square of four centers with data; 0 inside, infinity when there is none.
    [[nodiscard]] double outside_by_m(const Point& p) const;

  private:
    [[nodiscard]] std::optional<double> elev_within_m(const Point& p, double edge_m) const;
    /// Columns and rows as real numbers, 0 at the first center.
    struct Cell {
        double col = 0;
        double row = 0;
    };
    [[nodiscard]] Cell cell_at(const Point& p) const;
    [[nodiscard]] double value(int col, int row) const;
    [[nodiscard]] bool whole(int col, int row) const;
    [[nodiscard]] Ring square(int col, int row) const;

    Raster raster_;
    double edge_reach_m_ = 0;
    Point col_per_m_;
    Point row_per_m_;
    double col_gap_m_ = 1; ///< between neighboring lines of equal column, square to them
    double row_gap_m_ = 1;
};

} // namespace trenchwright
