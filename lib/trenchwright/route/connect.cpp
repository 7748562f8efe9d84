#include "trenchwright/route/connect.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

/// Cells further from the nearest reachable one than this many cells add length but no choice.
constexpr double ring_cells = 1.6;

/// Open cells around a place farther than one distance and within another, by rising distance; ties by cell number.
std::vector<int> cells_around(const Lattice& lattice, const Point& p, double beyond_m, double radius_m)
{
    const double c = std::cos(lattice.angle_rad);
    const double s = std::sin(lattice.angle_rad);
    const double dx = p.x_m - lattice.origin.x_m;
    const double dy = p.y_m - lattice.origin.y_m;
    const auto col = static_cast<int>(std::lround((dx * c + dy * s) / lattice.cell_m));
    const auto row = static_cast<int>(std::lround((dy * c - dx * s) / lattice.cell_m));
    const auto reach = static_cast<int>(std::ceil(radius_m / lattice.cell_m)) + 1;
    std::vector<std::pair<double, int>> found;
    for (int r = std::max(0, row - reach); r <= std::min(lattice.rows - 1, row + reach); ++r) {
        for (int k = std::max(0, col - reach); k <= std::min(lattice.cols - 1, col + reach); ++k) {
            const int cell = r * lattice.cols + k;
            const double away = distance_m(lattice.at(cell), p);
            if (lattice.open[static_cast<std::size_t>(cell)] != 0 && away > beyond_m && away <= radius_m) {
                found.emplace_back(away, cell);
            }
        }
    }
    std::sort(found.begin(), found.end());
    std::vector<int> cells;
    for (const auto& [away, cell] : found) {
        cells.push_back(cell);
    }
    return cells;
}

/// How far a connecting run may have to reach: over every clearance that is waived there.
double reach_m(const Lattice& lattice, const RouteRules& rules)
{
    const double clearance =
        rules.section.width_m / 2 + std::max(rules.foundation_clearance_m, rules.keep_out_clearance_m);
    return rules.wall_exit_length_m + clearance + 4 * lattice.cell_m;
}

/// Price of the bend between a run and a heading, in millionths; -1 when no fitting makes it.
std::int64_t bend_cost_micro(double a_rad, double b_rad, const RouteRules& rules)
{
    const double turn = std::abs(std::remainder(a_rad - b_rad, 2 * std::numbers::pi));
    const auto price = bend_price(turn, rules);
    return price ? std::llround(*price * 1e6) : -1;
}

/// Calls each(cell, run) for the nearest cells that a run of `make(cell center)` reaches without fault.
template <class Make, class Each>
void for_connected(const Lattice& lattice, TrueLine& meter, const Point& place, const RouteRules& rules, Make make,
                   Each each)
{
    constexpr double close_cells = 3;     // most places have a cell that near
    constexpr double same_place_m = 1e-9; // its neighbors lead there
    const double reach = reach_m(lattice, rules);
    double done_m = same_place_m;
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const double radius_m : {std::min(close_cells * lattice.cell_m, reach), reach}) {
        for (const int cell : cells_around(lattice, place, done_m, radius_m)) {
            const Point at = lattice.at(cell);
            const double away_m = distance_m(at, place);
            if (away_m > nearest_m + ring_cells * lattice.cell_m) {
                return;
            }
            const TrueRun& run = meter.run(make(at));
            if (!run.fault) {
                nearest_m = std::min(nearest_m, away_m);
                each(cell, at, run);
            }
        }
        done_m = radius_m;
    }
}

} // namespace

std::vector<Start> starts_at(const Lattice& lattice, std::span<const std::int32_t> highest_um, TrueLine& meter,
                             const Source& source, const RouteRules& rules)
{
    std::vector<Start> starts;
    const double top = source.highest_invert_elev_m.value_or(std::numeric_limits<double>::infinity());
    const auto run_to = [&](const Point& at) { return Run{.upper = source.at, .lower = at, .to_end = false}; };
    for_connected(lattice, meter, source.at, rules, run_to, [&](int cell, const Point& at, const TrueRun& run) {
        const auto descent = descend(run, top, rules, std::nullopt);
        const auto invert =
            std::min(to_um(descent.invert_elev_m, lattice.datum_elev_m), highest_um[static_cast<std::size_t>(cell)]);
        for (int h = 0; h < lattice.headings; ++h) {
            const auto bend = bend_cost_micro(direction_rad(source.at, at), lattice.heading_rad(h), rules);
            if (bend >= 0) {
                starts.push_back({.cell = cell,
                                  .heading = h,
                                  .cost_micro = std::llround(descent.price * 1e6) + bend,
                                  .invert_um = invert});
            }
        }
    });
    return starts;
}

std::vector<Finish> finishes_at(const Lattice& lattice, TrueLine& meter, std::span<const EndPoint> ends,
                                const RouteRules& rules)
{
    std::vector<Finish> finishes;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const EndPoint& end = ends[i];
        const auto run_from = [&](const Point& at) { return Run{.upper = at, .lower = end.at, .to_end = true}; };
        for_connected(lattice, meter, end.at, rules, run_from, [&](int cell, const Point& at, const TrueRun& run) {
            double dig = 0;
            for (const auto& piece : run.pieces) {
                dig += piece.dig_price;
            }
            const double ground = run.pieces.back().lower_ground_elev_m;
            const double highest = std::min(end.highest_invert_elev_m, ground + 1);
            const double length = distance_m(at, end.at);
            for (int h = 0; h < lattice.headings; ++h) {
                const auto bend = bend_cost_micro(lattice.heading_rad(h), direction_rad(at, end.at), rules);
                if (bend < 0) {
                    continue;
                }
                const double datum = lattice.datum_elev_m;
                finishes.push_back(
                    {.cell = cell,
                     .heading = h,
                     .end = static_cast<int>(i),
                     .cost_micro = std::llround(run.flat_price * 1e6) + bend,
                     .dig_cost_micro_per_m = std::llround(dig * 1e6),
                     .length_m = length,
                     .fall_um = static_cast<std::int32_t>(std::ceil(rules.min_fall_ratio * length * 1e6 - 1e-6)),
                     .cut_zero_um = to_um(rules.section.invert_for_cut_m(ground, 0), datum),
                     .lowest_um = to_um(std::max(end.lowest_invert_elev_m + end.reserve_m,
                                                 rules.section.invert_for_cut_m(ground, rules.deepest_cut_m)),
                                        datum),
                     .highest_um = to_um(highest, datum)});
            }
        });
    }
    return finishes;
}

std::vector<std::int32_t> eased_highest(const Lattice& lattice, const Outlet& outlet, const RouteRules& rules)
{
    auto highest = lattice.highest_um;
    if (outlet.kind != OutletKind::curb && outlet.kind != OutletKind::swale) {
        return highest;
    }
    for (int cell = 0; cell < lattice.cells(); ++cell) {
        const auto i = static_cast<std::size_t>(cell);
        if (lattice.open[i] == 0) {
            continue;
        }
        const double away = place_distance_m(lattice.at(cell), outlet.place);
        if (away <= rules.outlet_reach_m) {
            highest[i] = std::max(highest[i], lattice.eased_um[i]);
        }
        if (outlet.kind == OutletKind::curb && away <= rules.reducer_length_m) {
            highest[i] += static_cast<std::int32_t>(curb_pipe_saves_m(rules) * 1e6);
        }
        if (outlet.kind == OutletKind::swale && away <= rules.daylight_length_m) {
            highest[i] = std::max(highest[i], lattice.daylight_um[i]);
        }
    }
    return highest;
}

} // namespace trenchwright
