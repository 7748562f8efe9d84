#include "trenchwright/route/buckets.hpp"
#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

constexpr std::int32_t none_low = std::numeric_limits<std::int32_t>::min();
constexpr std::int32_t none_high = std::numeric_limits<std::int32_t>::max();

int opposite(int heading, int headings)
{
    return (heading + headings / 2) % headings;
}

/// Widths of the elevation buckets: about one least fall over a step, so few cells are looked at twice.
std::int64_t fall_width(const SearchProblem& problem)
{
    return std::max<std::int64_t>(1000, problem.fall_um[0]);
}

/// Going up from a cell to the ones a step upstream of it.
template <class Each> void for_upstream(const Lattice& lattice, int cell, Each each)
{
    for (int h = 0; h < lattice.headings; ++h) {
        const int up = lattice.stepped(cell, opposite(h, lattice.headings));
        if (up >= 0 && lattice.step_micros[lattice.edge(up, h)] >= 0) {
            each(up, h);
        }
    }
}

/// One relaxation of the rest cost: from `up`, arrived at in any heading that may turn into h, over `micros`.
struct RestRelaxer {
    const Lattice& lattice;
    std::vector<std::int64_t>& rest;
    BucketQueue& queue;

    void offer(std::size_t state, std::int64_t micros) const
    {
        if (micros < rest[state]) {
            rest[state] = micros;
            queue.push(micros, static_cast<std::int32_t>(state));
        }
    }
    void offer_turns(int cell, int heading, std::int64_t micros) const
    {
        const int most = lattice.headings / 4;
        for (int turn = 1; turn <= most; ++turn) {
            const std::int64_t price = lattice.turn_micros[static_cast<std::size_t>(turn)];
            if (price < 0) {
                continue;
            }
            for (const int before : {heading + turn, heading + lattice.headings - turn}) {
                offer(lattice.edge(cell, before % lattice.headings), micros + price);
            }
        }
    }
};

} // namespace

std::int64_t money_width(const Lattice& lattice)
{
    std::int32_t least = none_high;
    std::int32_t most = 1;
    for (const std::int32_t micros : lattice.step_micros) {
        least = micros >= 0 ? std::min(least, micros) : least;
        most = std::max(most, micros);
    }
    return std::max({std::int32_t{1}, most / 1000, std::min(least, most)});
}

std::int64_t shallow_step_micros(const Lattice& lattice, std::span<const std::int32_t> highest_um, int from, int to,
                                 int heading)
{
    const auto u = static_cast<std::size_t>(from);
    const auto v = static_cast<std::size_t>(to);
    const std::size_t edge = lattice.edge(from, heading);
    const std::int64_t twice_cut =
        std::int64_t{lattice.cut_zero_um[u]} - highest_um[u] + lattice.cut_zero_um[v] - highest_um[v];
    return lattice.step_micros[edge] + lattice.step_dig_micros[edge] * twice_cut / 2'000'000;
}

std::vector<std::int32_t> highest_reaching(const SearchProblem& problem)
{
    const Lattice& lattice = problem.lattice;
    std::vector<std::int32_t> highest(static_cast<std::size_t>(lattice.cells()), none_low);
    std::int32_t top = none_low;
    for (const auto& start : problem.starts) {
        top = std::max(top, start.invert_um);
    }
    BucketQueue queue(fall_width(problem)); // by depth below the highest start
    const auto offer = [&](int cell, std::int32_t invert) {
        const auto i = static_cast<std::size_t>(cell);
        const std::int32_t capped = std::min(invert, problem.highest_um[i]);
        if (capped >= lattice.lowest_um[i] && capped > highest[i]) {
            highest[i] = capped;
            queue.push(std::int64_t{top} - capped, cell);
        }
    };
    for (const auto& start : problem.starts) {
        offer(start.cell, start.invert_um);
    }
    while (const auto item = queue.pop()) {
        if (std::int64_t{top} - highest[static_cast<std::size_t>(item->id)] != item->key) {
            continue;
        }
        const std::int32_t invert = highest[static_cast<std::size_t>(item->id)];
        for (int h = 0; h < lattice.headings; ++h) {
            if (lattice.step_micros[lattice.edge(item->id, h)] >= 0) {
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
    std::vector<std::int32_t> need(static_cast<std::size_t>(lattice.cells()), none_high);
    std::int32_t bottom = none_high;
    for (const auto& finish : problem.finishes) {
        bottom = std::min(bottom, finish.lowest_um - lowered_um);
    }
    BucketQueue queue(fall_width(problem)); // by height above the lowest end
    const auto offer = [&](int cell, std::int32_t invert) {
        const auto i = static_cast<std::size_t>(cell);
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
            continue;
        }
        for_upstream(lattice, item->id,
                     [&](int up, int h) { offer(up, invert + problem.fall_um[static_cast<std::size_t>(h)]); });
    }
    return need;
}

std::vector<std::int64_t> least_rest(const SearchProblem& problem, std::span<const std::int32_t> highest,
                                     std::span<const std::int32_t> need)
{
    const Lattice& lattice = problem.lattice;
    const auto alive = [&](int cell) {
        return highest[static_cast<std::size_t>(cell)] >= need[static_cast<std::size_t>(cell)];
    };
    std::vector<std::int64_t> rest(lattice.step_micros.size(), std::numeric_limits<std::int64_t>::max());
    BucketQueue queue(money_width(lattice));
    const RestRelaxer relaxer{.lattice = lattice, .rest = rest, .queue = queue};
    for (const auto& finish : problem.finishes) {
        if (alive(finish.cell)) {
            const auto i = static_cast<std::size_t>(finish.cell);
            const std::int64_t twice_cut = std::int64_t{lattice.cut_zero_um[i]} - highest[i] + finish.cut_zero_um -
                                           std::min(highest[i] - finish.fall_um, finish.highest_um);
            relaxer.offer(lattice.edge(finish.cell, finish.heading),
                          finish.micros + finish.dig_micros * twice_cut / 2'000'000);
        }
    }
    while (const auto item = queue.pop()) {
        if (rest[static_cast<std::size_t>(item->id)] != item->key) {
            continue;
        }
        const int heading = item->id % lattice.headings;
        int cell = item->id / lattice.headings;
        std::int64_t micros = item->key;
        const int back = opposite(heading, lattice.headings);
        for (int step = 1; step <= lattice.run_steps[static_cast<std::size_t>(heading)]; ++step) {
            const int up = lattice.stepped(cell, back);
            if (up < 0 || lattice.step_micros[lattice.edge(up, heading)] < 0 || !alive(up)) {
                break;
            }
            micros += shallow_step_micros(lattice, highest, up, cell, heading);
            cell = up;
            if (step == 1) {
                relaxer.offer(lattice.edge(cell, heading), micros);
            }
            if (step == lattice.run_steps[static_cast<std::size_t>(heading)]) {
                relaxer.offer_turns(cell, heading, micros);
            }
        }
    }
    return rest;
}

} // namespace trenchwright
