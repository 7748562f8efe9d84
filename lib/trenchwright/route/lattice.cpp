#include "trenchwright/route/lattice.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/lattice_fields.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// About 8 bytes a cell and heading: 16 million cells and 16 headings would take 2 GB.
constexpr double max_cells = 4e6;

/// Ground kept around the outermost place, so that a trench may swing out.
constexpr double margin_m = 1.5;

constexpr std::array<std::array<int, 2>, 8> offsets_8{
    {{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}};
constexpr std::array<std::array<int, 2>, 16> offsets_16{{{1, 0},
                                                         {2, 1},
                                                         {1, 1},
                                                         {1, 2},
                                                         {0, 1},
                                                         {-1, 2},
                                                         {-1, 1},
                                                         {-2, 1},
                                                         {-1, 0},
                                                         {-2, -1},
                                                         {-1, -1},
                                                         {-1, -2},
                                                         {0, -1},
                                                         {1, -2},
                                                         {1, -1},
                                                         {2, -1}}};

Lattice blank_lattice(std::span<const Point> extent, double angle_rad, const RouteRules& rules)
{
    Lattice lattice;
    lattice.headings = rules.headings;
    lattice.angle_rad = angle_rad;
    lattice.cell_m = rules.cell_m;
    const double c = std::cos(angle_rad);
    const double s = std::sin(angle_rad);
    lattice.col_step = {.x_m = c * rules.cell_m, .y_m = s * rules.cell_m};
    lattice.row_step = {.x_m = -s * rules.cell_m, .y_m = c * rules.cell_m};
    const Point& anchor = extent.front();
    std::vector<Point> turned;
    for (const auto& p : extent) {
        const double x = p.x_m - anchor.x_m;
        const double y = p.y_m - anchor.y_m;
        turned.push_back({.x_m = x * c + y * s, .y_m = y * c - x * s});
    }
    const Box box = grown(bounds(turned), margin_m);
    const double before_x = std::ceil(-box.min_x_m / rules.cell_m);
    const double before_y = std::ceil(-box.min_y_m / rules.cell_m);
    const double cols = before_x + std::ceil(box.max_x_m / rules.cell_m) + 1;
    const double rows = before_y + std::ceil(box.max_y_m / rules.cell_m) + 1;
    const bool fits = cols * rows <= max_cells;
    if (!fits) {
        throw Error(ErrorKind::input, fmt::format("the site needs {} x {} search cells of {} m; set search.cell larger",
                                                  cols, rows, rules.cell_m));
    }
    lattice.cols = static_cast<int>(cols);
    lattice.rows = static_cast<int>(rows);
    lattice.origin = {.x_m = anchor.x_m - (before_x * c - before_y * s) * rules.cell_m,
                      .y_m = anchor.y_m - (before_x * s + before_y * c) * rules.cell_m};
    return lattice;
}

/// Fittings, least straight runs and falls by heading.
void set_headings(Lattice& lattice, const RouteRules& rules)
{
    for (int h = 0; h < lattice.headings; ++h) {
        const auto i = static_cast<std::size_t>(h);
        lattice.fall_um[i] =
            static_cast<std::int32_t>(std::ceil(rules.min_fall_ratio * lattice.step_m(h) * 1e6 - 1e-6));
        lattice.run_steps[i] = std::max(1, static_cast<int>(std::ceil(rules.min_run_m / lattice.step_m(h) - 1e-9)));
    }
    for (int turn = 0; turn <= lattice.headings / 2; ++turn) {
        const double angle = turn * 2 * std::numbers::pi / lattice.headings;
        const auto price = bend_price(angle, rules);
        lattice.turn_cost_micro[static_cast<std::size_t>(turn)] = price ? std::llround(*price * 1e6) : -1;
    }
}

} // namespace

std::array<int, 2> heading_offset(int heading, int headings)
{
    const auto i = static_cast<std::size_t>(heading);
    return headings == 8 ? offsets_8[i] : offsets_16[i];
}

Point Lattice::at(int cell) const
{
    const double col = cell % cols;
    const double row = cell / cols; // NOLINT(bugprone-integer-division): whole rows are meant
    return {.x_m = origin.x_m + col * col_step.x_m + row * row_step.x_m,
            .y_m = origin.y_m + col * col_step.y_m + row * row_step.y_m};
}

int Lattice::stepped(int cell, int heading) const
{
    const auto [dc, dr] = heading_offset(heading, headings);
    const int col = cell % cols + dc;
    const int row = cell / cols + dr;
    return col >= 0 && col < cols && row >= 0 && row < rows ? row * cols + col : -1;
}

double Lattice::step_m(int heading) const
{
    const auto [dc, dr] = heading_offset(heading, headings);
    return std::hypot(dc, dr) * cell_m;
}

double Lattice::heading_rad(int heading) const
{
    const auto [dc, dr] = heading_offset(heading, headings);
    return angle_rad + std::atan2(dr, dc);
}

std::int64_t Lattice::turn(int from_heading, int to_heading) const
{
    const int difference = std::abs(from_heading - to_heading);
    return turn_cost_micro[static_cast<std::size_t>(std::min(difference, headings - difference))];
}

Lattice lay_lattice(const Site& site, const Ground& ground, const std::vector<Obstacle>& all, const RouteRules& rules,
                    std::span<const Point> extent, double angle_rad)
{
    Lattice lattice = blank_lattice(extent, angle_rad, rules);
    set_headings(lattice, rules);
    const auto surfaces = top_surfaces(lattice, site, rules);
    lattice.open = open_cells(lattice, site, all, surfaces, rules);
    set_elevations(lattice, site, ground, surfaces, rules);
    set_step_costs(lattice, site, surfaces, rules);
    return lattice;
}

std::int32_t to_um(double elev_m, double datum_elev_m)
{
    const double um = (elev_m - datum_elev_m) * 1e6;
    const bool fits = std::abs(um) < 2e9;
    if (!fits) {
        throw Error(ErrorKind::input,
                    fmt::format("elevation {} m lies more than 2000 m from the rest of the site", elev_m));
    }
    return static_cast<std::int32_t>(std::lround(um));
}

double elev_of_um_m(std::int64_t um, double datum_elev_m)
{
    return datum_elev_m + static_cast<double>(um) * 1e-6;
}

} // namespace trenchwright
