#pragma once

#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace trenchwright::test {

/// A lattice with its ways in and out, owning everything a SearchProblem refers to.
struct Yard {
    Lattice lattice;
    std::vector<Start> starts;
    std::vector<Finish> finishes;
    [[nodiscard]] SearchProblem problem(long long budget = 100'000'000) const
    {
        return {.lattice = lattice,
                .fall_um = lattice.fall_um,
                .highest_um = lattice.highest_um,
                .starts = starts,
                .finishes = finishes,
                .label_budget = budget};
    }
};

enum class Fall { slack, binding, infeasible, mixed };

/// Falls and step lengths by heading for 0.25 m cells, as lay_lattice sets them.
inline void set_headings(Lattice& lattice, double fall_ratio, int run_steps)
{
    for (int h = 0; h < lattice.headings; ++h) {
        const auto i = static_cast<std::size_t>(h);
        lattice.fall_um[i] = static_cast<std::int32_t>(std::ceil(fall_ratio * lattice.step_m(h) * 1e6));
        lattice.run_steps[i] = h % 2 == 0 ? run_steps : std::max(1, run_steps - 1);
    }
    const int most = lattice.headings / 4;
    for (int turn = 0; turn <= lattice.headings / 2; ++turn) {
        const std::int64_t cost_micro = turn == 0 ? 0 : turn <= most ? 9'000'000LL * turn : -1;
        lattice.turn_cost_micro[static_cast<std::size_t>(turn)] = cost_micro;
    }
}

/// Our own invented yard: a sloping, bumpy lawn with dear strips and closed cells. `Fall` sets how the slope
/// compares with the least fall of about 1 %.
inline Yard random_yard(int cols, int rows, int headings, Fall fall, unsigned seed)
{
    std::mt19937 random(seed);
    const auto uniform = [&](double a, double b) {
        return a + (b - a) * (static_cast<double>(random() >> 5U) / static_cast<double>(1U << 27U));
    };
    Yard yard;
    Lattice& l = yard.lattice;
    l.cols = cols;
    l.rows = rows;
    l.headings = headings;
    l.cell_m = 0.25;
    set_headings(l, 1.0 / 96, 2);
    const auto cells = static_cast<std::size_t>(cols * rows);
    const double slopes[] = {0.03, 0.0125, -0.004, uniform(-0.01, 0.03)};
    const double slope = slopes[static_cast<int>(fall)];
    const double bump = fall == Fall::binding ? 0.05 : 0.12;
    const double phase = uniform(0, 6);
    const double wave = uniform(3, 9);
    l.open.assign(cells, 1);
    l.highest_um.resize(cells);
    l.lowest_um.resize(cells);
    l.cut_zero_um.resize(cells);
    std::vector<double> dear(cells, 1);
    for (int i = 0; i < 3 + cols / 40; ++i) { // closed and dear rectangles
        const int c0 = static_cast<int>(uniform(0, cols));
        const int r0 = static_cast<int>(uniform(0, rows));
        const int w = static_cast<int>(uniform(1, 2 + cols / 5.0));
        const int h = static_cast<int>(uniform(1, 2 + rows / 8.0));
        const bool closed_area = uniform(0, 1) < 0.4;
        const double factor = uniform(1.5, 8);
        for (int r = r0; r < std::min(rows, r0 + h); ++r) {
            for (int c = c0; c < std::min(cols, c0 + w); ++c) {
                const auto cell = static_cast<std::size_t>(r * cols + c);
                l.open[cell] = static_cast<std::uint8_t>(l.open[cell] != 0 && !closed_area);
                dear[cell] = closed_area ? dear[cell] : factor;
            }
        }
    }
    for (int r = 0; r < rows; ++r) {
        for (int c = 0; c < cols; ++c) {
            const auto cell = static_cast<std::size_t>(r * cols + c);
            const double x = c * l.cell_m;
            const double y = r * l.cell_m;
            const double ground =
                10 - slope * x + bump * std::sin(x / wave * 6 + phase) * std::cos(y / wave * 5) + uniform(-0.01, 0.01);
            l.highest_um[cell] = to_um(ground - 0.25, 0);
            l.cut_zero_um[cell] = to_um(ground + 0.1, 0);
            l.lowest_um[cell] = to_um(ground - 1.1, 0);
        }
    }
    l.open[0] = 1;
    l.open[cells - 1] = 1;
    l.step_cost_micro.assign(cells * static_cast<std::size_t>(headings), -1);
    l.step_dig_cost_micro_per_m.assign(l.step_cost_micro.size(), 0);
    for (int cell = 0; cell < l.cells(); ++cell) {
        for (int h = 0; h < headings; ++h) {
            const int to = l.stepped(cell, h);
            if (to < 0 || l.open[static_cast<std::size_t>(cell)] == 0 || l.open[static_cast<std::size_t>(to)] == 0) {
                continue;
            }
            const auto step = static_cast<std::size_t>(cell * headings + h);
            const double rate = 12 * (dear[static_cast<std::size_t>(cell)] + dear[static_cast<std::size_t>(to)]) / 2;
            l.step_cost_micro[step] = static_cast<std::int32_t>(std::lround(rate * l.step_m(h) * 1e6));
            l.step_dig_cost_micro_per_m[step] = static_cast<std::int32_t>(std::lround(rate * l.step_m(h) * 1.1e6));
        }
    }
    for (int h = 0; h < headings; ++h) {
        yard.starts.push_back({.cell = 0, .heading = h, .cost_micro = 0, .invert_um = l.highest_um[0]});
        const auto last = cells - 1;
        yard.finishes.push_back({.cell = static_cast<int>(last),
                                 .heading = h,
                                 .end = 0,
                                 .cost_micro = 0,
                                 .dig_cost_micro_per_m = 0,
                                 .length_m = 0,
                                 .fall_um = 0,
                                 .cut_zero_um = l.cut_zero_um[last],
                                 .lowest_um = l.highest_um[last] - to_um(0.004 * cols * l.cell_m, 0),
                                 .highest_um = l.highest_um[last]});
    }
    return yard;
}

} // namespace trenchwright::test
