#pragma once

#include "random_lattice.hpp"
#include "trenchwright/route/tree_search.hpp"

#include <deque>

namespace trenchwright::test {

/// A yard with several sources near its upper end, owning everything a TreeProblem refers to.
struct DrainYard {
    Yard yard;
    std::deque<std::vector<Start>> starts;
    std::vector<TreeSource> sources;
    std::vector<std::int32_t> pressure_highest_um;
    JunctionMoves junction;

    [[nodiscard]] TreeProblem problem(long long budget = 50'000'000) const
    {
        return {.lattice = yard.lattice,
                .fall_um = yard.lattice.fall_um,
                .highest_um = yard.lattice.highest_um,
                .pressure_highest_um = pressure_highest_um,
                .sources = sources,
                .finishes = yard.finishes,
                .junction = junction,
                .label_budget = budget};
    }
};

/// Sources stand on open cells of the upper two fifths; every heading may leave them.
inline DrainYard random_drain(int cols, int rows, int sources, Fall fall, unsigned seed, int headings = 8)
{
    DrainYard drain{.yard = random_yard(cols, rows, headings, fall, seed),
                    .starts = {},
                    .sources = {},
                    .pressure_highest_um = {},
                    .junction = {}};
    std::mt19937 random(seed + 77);
    Lattice& l = drain.yard.lattice;
    for (int i = 0; i < sources; ++i) {
        int cell = 0;
        do {
            const int col = static_cast<int>(random() % static_cast<unsigned>(std::max(1, 2 * cols / 5)));
            cell = static_cast<int>(random() % static_cast<unsigned>(rows)) * cols + col;
        } while (l.open[static_cast<std::size_t>(cell)] == 0);
        std::vector<Start> starts;
        for (int h = 0; h < headings; ++h) {
            starts.push_back({.cell = cell,
                              .heading = h,
                              .cost_micro = 0,
                              .invert_um = l.highest_um[static_cast<std::size_t>(cell)]});
        }
        drain.starts.push_back(std::move(starts));
        drain.sources.push_back({.starts = drain.starts.back(), .pressure = false});
    }
    drain.pressure_highest_um = l.highest_um;
    drain.junction.cost_micro.fill(-1);
    drain.junction.cost_micro[static_cast<std::size_t>(headings / 8)] = 15'000'000;
    drain.junction.rise_um = 10'000;
    drain.junction.pressure_rise_um = 60'000;
    return drain;
}

} // namespace trenchwright::test
