#pragma once

#include "trenchwright/route/obstacles.hpp"
#include "trenchwright/route/route.hpp"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace trenchwright {

/// The search space: square cells times headings, everything in integers so that sums are exact.
///
/// Money in millionths of the currency unit (`cost_micro`), elevations in micrometers above `datum_elev_m`.
/// No rate is negative, so a deeper trench is never cheaper. A trench is dug from the source down; an edge is one step
/// from a cell's center to the center in a heading.
struct Lattice {
    int cols = 0;
    int rows = 0;
    int headings = 8;     ///< 8, or 16 with knight's moves between
    Point origin;         ///< center of cell (0, 0)
    double angle_rad = 0; ///< of the columns' direction
    Point col_step;       ///< from one column's center to the next; follows from angle and cell
    Point row_step;       ///< likewise
    double cell_m = 0;
    double datum_elev_m = 0;

    std::vector<std::uint8_t> open;            ///< per cell: may be entered
    std::vector<std::int32_t> highest_um;      ///< per cell: highest invert (cover)
    std::vector<std::int32_t> eased_um;        ///< per cell: the same near a curb or swale outlet
    std::vector<std::int32_t> daylight_um;     ///< per cell: the same in the last piece before a swale
    std::vector<std::int32_t> lowest_um;       ///< per cell: lowest invert (depth limit)
    std::vector<std::int32_t> cut_zero_um;     ///< per cell: invert at which the cut would be 0
    std::vector<std::int64_t> step_cost_micro; ///< per cell and heading: cost of the step without depth; -1 none,
                                               ///< as it leaves the lattice or one of its cells is not open
    std::vector<std::int32_t> step_dig_cost_micro_per_m; ///< per cell and heading: cost of the step per meter of cut

    std::array<std::int32_t, 16> fall_um{};        ///< per heading: least fall over one step, rounded up
    std::array<int, 16> run_steps{};               ///< per heading: steps of the least straight run
    std::array<std::int64_t, 9> turn_cost_micro{}; ///< per heading difference: fitting; -1 not allowed

    [[nodiscard]] int cells() const { return cols * rows; }
    [[nodiscard]] Point at(int cell) const;
    /// Place of a cell and heading in the fields that have one value for each.
    [[nodiscard]] std::size_t edge(int cell, int heading) const
    {
        return static_cast<std::size_t>(cell) * static_cast<std::size_t>(headings) + static_cast<std::size_t>(heading);
    }
    /// Cell a step away, or -1 outside.
    [[nodiscard]] int stepped(int cell, int heading) const;
    [[nodiscard]] double step_m(int heading) const;
    [[nodiscard]] double heading_rad(int heading) const; ///< in the site frame
    /// Cost of the turn between two headings; -1 not allowed.
    [[nodiscard]] std::int64_t turn(int from_heading, int to_heading) const;
};

/// Column and row offsets of a heading, counted anticlockwise from the columns' direction.
std::array<int, 2> heading_offset(int heading, int headings);

/// Lays a lattice turned by angle_rad over everything in `extent`, with a cell's center at the first point of it.
///
/// A cell is open when its center keeps every clearance with enough to spare that no step between two open
/// cells can break it; rates are taken at cell centers, hand-dig and parallel running by heading.
Lattice lay_lattice(const Site& site, const Ground& ground, const std::vector<Obstacle>& all, const RouteRules& rules,
                    std::span<const Point> extent, double angle_rad);

std::int32_t to_um(double elev_m, double datum_elev_m);
double elev_of_um_m(std::int64_t um, double datum_elev_m);

} // namespace trenchwright
