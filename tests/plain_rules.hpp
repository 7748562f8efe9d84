#pragma once

#include "random_lattice.hpp"

#include <optional>

namespace trenchwright::test {

/// Cost and invert carried down a route by the plain rules. Written apart from the search.
struct Carried {
    std::int64_t cost_micro = 0;
    std::int32_t invert_um = 0;
    friend bool operator==(const Carried&, const Carried&) = default;
};

inline std::optional<Carried> after_step(const Yard& yard, int cell, int heading, Carried at)
{
    const Lattice& l = yard.lattice;
    const auto step = static_cast<std::size_t>(cell * l.headings + heading);
    if (l.step_cost_micro[step] < 0) {
        return std::nullopt;
    }
    const auto to = static_cast<std::size_t>(l.stepped(cell, heading));
    const std::int32_t invert = std::min(at.invert_um - l.fall_um[static_cast<std::size_t>(heading)], l.highest_um[to]);
    if (invert < l.lowest_um[to]) {
        return std::nullopt;
    }
    const std::int64_t cuts =
        std::int64_t{l.cut_zero_um[static_cast<std::size_t>(cell)]} - at.invert_um + l.cut_zero_um[to] - invert;
    return Carried{.cost_micro =
                       at.cost_micro + l.step_cost_micro[step] + l.step_dig_cost_micro_per_m[step] * cuts / 2'000'000,
                   .invert_um = invert};
}

/// One move of the search: a step straight on, or a turn and its least straight run.
struct Move {
    int from_cell = 0;
    int heading = 0;
    int steps = 1;
    std::int64_t turn_cost_micro = 0;
};

inline std::optional<Carried> after_move(const Yard& yard, const Move& move, Carried at)
{
    std::optional<Carried> carried =
        Carried{.cost_micro = at.cost_micro + move.turn_cost_micro, .invert_um = at.invert_um};
    int cell = move.from_cell;
    for (int i = 0; i < move.steps && carried; ++i) {
        carried = after_step(yard, cell, move.heading, *carried);
        cell = yard.lattice.stepped(cell, move.heading);
    }
    return carried;
}

/// All moves from a cell that was reached in a heading, with the state they lead to.
template <class Each> void for_moves(const Yard& yard, int cell, int heading, Each each)
{
    const Lattice& l = yard.lattice;
    for (int to = 0; to < l.headings; ++to) {
        const std::int64_t turn = l.turn(heading, to);
        if (turn < 0) {
            continue;
        }
        const Move move{.from_cell = cell,
                        .heading = to,
                        .steps = to == heading ? 1 : l.run_steps[static_cast<std::size_t>(to)],
                        .turn_cost_micro = turn};
        int at = cell;
        for (int i = 0; i < move.steps && at >= 0; ++i) {
            at = l.step_cost_micro[static_cast<std::size_t>(at * l.headings + to)] < 0 ? -1 : l.stepped(at, to);
        }
        if (at >= 0) {
            each(move, at);
        }
    }
}

inline std::optional<std::int64_t> at_end(const Yard& yard, int cell, int heading, Carried at)
{
    for (const auto& finish : yard.finishes) {
        if (finish.cell == cell && finish.heading == heading && at.invert_um >= finish.lowest_um) {
            return at.cost_micro;
        }
    }
    return std::nullopt;
}

/// The order in which Boost.Graph takes its labels.
inline bool operator<(const Carried& a, const Carried& b)
{
    return a.cost_micro < b.cost_micro;
}

} // namespace trenchwright::test
