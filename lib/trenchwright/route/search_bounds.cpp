#include "trenchwright/route/buckets.hpp"
#include "trenchwright/route/moves.hpp"
#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

int opposite(int heading, int headings)
{
    return (heading + headings / 2) % headings;
}

/// Width of the elevation buckets: about one least fall over a step, so few cells are looked at twice. Heading 0 has a
/// shortest step and so the least fall.
std::int64_t fall_width(const SearchProblem& problem)
{
    return std::max<std::int64_t>(1000, problem.fall_um[0]);
}

/// Going up from a cell to the ones a step upstream of it.
template <class Each> void for_upstream(const Lattice& lattice, int cell, Each each)
{
    for (int h = 0; h < lattice.headings; ++h) {
        const int up = lattice.stepped(cell, opposite(h, lattice.headings));
        if (up >= 0 && lattice.step_cost_micro[lattice.edge(up, h)] >= 0) {
            each(up, h);
        }
    }
}

/// One relaxation of the rest cost: from `up`, arrived at in any heading that may turn into h, over `cost_micro`.
struct RestRelaxer {
    const Lattice& lattice;
    std::vector<std::int64_t>& rest;
    BucketQueue& queue;

    void offer(std::size_t state, std::int64_t cost_micro) const
    {
        if (cost_micro < rest[state]) {
            rest[state] = cost_micro;
            queue.push(cost_micro, static_cast<std::int32_t>(state));
        }
    }
    void offer_turns(int cell, int heading, std::int64_t cost_micro) const
    {
        for_turned(lattice.headings, heading, [&](std::size_t turn, int before) {
            if (const std::int64_t price = lattice.turn_cost_micro[turn]; price >= 0) {
                offer(lattice.edge(cell, before), cost_micro + price);
            }
        });
    }
};

} // namespace

std::int64_t money_width(const Lattice& lattice)
{
    std::int64_t least = unreachable_cost;
    std::int64_t most = 1;
    for (const std::int64_t cost_micro : lattice.step_cost_micro) {
        least = cost_micro >= 0 ? std::min(least, cost_micro) : least;
        most = std::max(most, cost_micro);
    }
    return std::max({std::int64_t{1}, most / 1000, std::min(least, most)});
}

std::int64_t shallow_step_cost_micro(const Lattice& lattice, std::span<const std::int32_t> highest_um, int from, int to,
                                     int heading)
{
    const auto u = static_cast<std::size_t>(from);
    const auto v = static_cast<std::size_t>(to);
    const std::size_t edge = lattice.edge(from, heading);
    const std::int64_t twice_cut =
        std::int64_t{lattice.cut_zero_um[u]} - highest_um[u] + lattice.cut_zero_um[v] - highest_um[v];
    return lattice.step_cost_micro[edge] + dig_cost_micro(lattice.step_dig_cost_micro_per_m[edge], twice_cut);
}

std::vector<std::int32_t> highest_reaching(const SearchProblem& problem, std::int32_t deepened_um)
{
    const Lattice& lattice = problem.lattice;
    std::vector<std::int32_t> highest(static_cast<std::size_t>(lattice.cells()), unreached_um);
    std::int32_t top = unreached_um;
    for (const auto& start : problem.starts) {
        top = std::max(top, start.invert_um);
    }
    BucketQueue queue(fall_width(problem)); // by depth below the highest start
    const auto offer = [&](int cell, std::int32_t invert) {
        const auto i = static_cast<std::size_t>(cell);
        // The pipe's own rule, over every step in any order of headings: more ways than a trench has, so a bound.
        const std::int32_t capped = std::min(invert, problem.highest_um[i]);
        if (capped >= lattice.lowest_um[i] - deepened_um && capped > highest[i]) {
            highest[i] = capped;
            queue.push(std::int64_t{top} - capped, cell);
        }
    };
    for (const auto& start : problem.starts) {
        offer(start.cell, start.invert_um);
    }
    while (const auto item = queue.pop()) {
        if (std::int64_t{top} - highest[static_cast<std::size_t>(item->id)] != item->key) {
            continue; // reached higher since: a bucket may give a lower invert first, and the cell waits again
        }
        const std::int32_t invert = highest[static_cast<std::size_t>(item->id)];
        for (int h = 0; h < lattice.headings; ++h) {
            if (lattice.step_cost_micro[lattice.edge(item->id, h)] >= 0) {
                offer(lattice.stepped(item->id, h), invert - problem.fall_um[static_cast<std::size_t>(h)]);
            }
        }
    }
    return highest;
}

std::vector<std::int32_t> lowest_draining(const SearchProblem& problem, std::int32_t lowered_um,
                                          std::int32_t deepened_um)
{
    const Lattice& lattice = problem.lattice;
    std::vector<std::int32_t> need(static_cast<std::size_t>(lattice.cells()), undrainable_um);
    std::int32_t bottom = undrainable_um;
    for (const auto& finish : problem.finishes) {
        bottom = std::min(bottom, finish.lowest_um - lowered_um);
    }
    BucketQueue queue(fall_width(problem)); // by height above the lowest end
    const auto offer = [&](int cell, std::int32_t invert) {
        const auto i = static_cast<std::size_t>(cell);
        // The same rule backwards. Cover that cuts a pipe down to no less than the need below does no harm, so the
        // cover only asks that the need lies under it.
        const std::int32_t raised = std::max(invert, lattice.lowest_um[i] - deepened_um);
        if (raised <= problem.highest_um[i] && raised < need[i]) {
            need[i] = raised;
            queue.push(std::max<std::int64_t>(0, std::int64_t{raised} - bottom), cell);
        }
    };
    for (const auto& finish : problem.finishes) {
        const std::int32_t lowest = finish.lowest_um - lowered_um;
        if (lowest <= finish.highest_um) {
            offer(finish.cell, lowest + finish.fall_um);
        }
    }
    while (const auto item = queue.pop()) {
        const std::int32_t invert = need[static_cast<std::size_t>(item->id)];
        if (std::max<std::int64_t>(0, std::int64_t{invert} - bottom) != item->key) {
            continue; // a lower need was found since
        }
        for_upstream(lattice, item->id,
                     [&](int up, int h) { offer(up, invert + problem.fall_um[static_cast<std::size_t>(h)]); });
    }
    return need;
}

std::vector<std::int64_t> min_rest(const SearchProblem& problem, std::span<const std::int32_t> highest,
                                   std::span<const std::int32_t> need)
{
    const Lattice& lattice = problem.lattice;
    // No label lies above `highest` and none is kept below `need`: a cell where they cross carries none, and leaving it
    // out raises the rest without raising it above the truth.
    const auto alive = [&](int cell) {
        return highest[static_cast<std::size_t>(cell)] >= need[static_cast<std::size_t>(cell)];
    };
    std::vector<std::int64_t> rest(lattice.step_cost_micro.size(), unreachable_cost);
    BucketQueue queue(money_width(lattice));
    const RestRelaxer relaxer{.lattice = lattice, .rest = rest, .queue = queue};
    for (const auto& finish : problem.finishes) {
        if (alive(finish.cell)) {
            const auto i = static_cast<std::size_t>(finish.cell);
            // At the highest inverts, here and on every step: no label digs for less.
            const std::int64_t twice_cut = std::int64_t{lattice.cut_zero_um[i]} - highest[i] + finish.cut_zero_um -
                                           std::min(highest[i] - finish.fall_um, finish.highest_um);
            relaxer.offer(lattice.edge(finish.cell, finish.heading),
                          finish.cost_micro + dig_cost_micro(finish.dig_cost_micro_per_m, twice_cut));
        }
    }
    while (const auto item = queue.pop()) {
        if (rest[static_cast<std::size_t>(item->id)] != item->key) {
            continue; // a cheaper rest was found since
        }
        // The search's own moves backwards, one step straight on or a turn with its whole run: over just these the rest
        // never drops by more than a move costs, and labels of a state come out by rising cost.
        const int heading = item->id % lattice.headings;
        int cell = item->id / lattice.headings;
        std::int64_t cost_micro = item->key;
        const int back = opposite(heading, lattice.headings);
        for (int step = 1; step <= lattice.run_steps[static_cast<std::size_t>(heading)]; ++step) {
            const int up = lattice.stepped(cell, back);
            if (up < 0 || lattice.step_cost_micro[lattice.edge(up, heading)] < 0 || !alive(up)) {
                break;
            }
            cost_micro += shallow_step_cost_micro(lattice, highest, up, cell, heading);
            cell = up;
            if (step == 1) {
                relaxer.offer(lattice.edge(cell, heading), cost_micro);
            }
            if (step == lattice.run_steps[static_cast<std::size_t>(heading)]) {
                relaxer.offer_turns(cell, heading, cost_micro);
            }
        }
    }
    return rest;
}

} // namespace trenchwright
