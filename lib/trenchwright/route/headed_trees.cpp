#include "trenchwright/route/buckets.hpp"
#include "trenchwright/route/least_trees.hpp"
#include "trenchwright/route/moves.hpp"

#include <algorithm>
#include <bit>
#include <utility>

namespace trenchwright {

Ceilings::Ceilings(const TreeProblem& problem)
{
    SearchProblem alone{.lattice = problem.lattice,
                        .fall_um = problem.fall_um,
                        .highest_um = problem.highest_um,
                        .starts = {},
                        .finishes = problem.finishes};
    need_ = lowest_draining(alone, 0, 0); // whatever joins, gravity pipe below it never drains
    for (const auto& source : problem.sources) {
        alone.starts = source.starts;
        auto ceiling = source.pressure
                           ? std::vector(problem.pressure_highest_um.begin(), problem.pressure_highest_um.end())
                           : highest_reaching(alone);
        for (std::size_t cell = 0; cell < ceiling.size(); ++cell) {
            const bool usable = source.pressure ? problem.lattice.open[cell] != 0 : ceiling[cell] >= need_[cell];
            ceiling[cell] = usable ? ceiling[cell] : unreached_um;
        }
        by_source_.push_back(std::move(ceiling));
        pressure_.push_back(static_cast<std::uint8_t>(source.pressure));
    }
}

std::vector<std::int32_t> Ceilings::of(unsigned sources) const
{
    // Below a junction the pipe lies no higher than either that met there, so no higher than any of its sources alone
    // could come. A pressure line climbs freely to its junction and says nothing of the pipe below.
    std::vector<std::int32_t> lowest;
    for (std::size_t i = 0; i < by_source_.size(); ++i) {
        const bool counts = (sources >> i & 1U) != 0 && (pressure_[i] == 0 || std::has_single_bit(sources));
        if (counts && lowest.empty()) {
            lowest = by_source_[i];
        } else if (counts) {
            std::transform(lowest.begin(), lowest.end(), by_source_[i].begin(), lowest.begin(),
                           [](std::int32_t a, std::int32_t b) { return std::min(a, b); });
        }
    }
    return lowest.empty() ? std::vector(need_.size(), unreached_um) : lowest; // pressure lines alone gather nothing
}

HeadedTrees::HeadedTrees(const TreeProblem& problem, const Ceilings& ceilings, const LeastTrees& least,
                         std::int32_t limit_cost_e4)
    : problem_(problem), lattice_(problem.lattice), ceilings_(ceilings), least_(least), limit_(limit_cost_e4),
      all_((1U << problem.sources.size()) - 1),
      heading_bits_(std::countr_zero(static_cast<unsigned>(problem.lattice.headings))), cells_(all_ + 1),
      step_(problem.lattice.step_cost_micro.size(), -1), run_(problem.lattice.step_cost_micro.size(), -1),
      offset_(cell_offsets(lattice_)), gathered_(all_ + 1), rest_(all_ + 1), joined_(all_ + 1)
{
    // Numbers rise from parts to wholes: the tables that one is made of are filled before it.
    fill_moves();
    for (unsigned set = 1; set <= all_; ++set) {
        cells_[set] = least.cells_within(set, limit_cost_e4);
    }
    for (unsigned set = 1; set < all_; ++set) {
        fill_steps(set);
        keep(set, gather(set));
    }
    for (unsigned set = 0; set < all_; ++set) {
        fill_steps(all_ ^ set);
        rest_[set] = complete(set);
        joined_[set] = after_joining(rest_[set], all_ ^ set);
    }
}

std::int32_t HeadedTrees::whole_cost_e4() const
{
    std::int32_t least = unreachable_cost_e4; // every drain holds the first source: its starts see them all
    for (const auto& start : problem_.sources.front().starts) {
        const std::int32_t rest = rest_[all_ & ~1U][lattice_.edge(start.cell, start.heading)];
        least = std::min(least, sum_e4(to_cost_e4(start.cost_micro), rest));
    }
    return least;
}

void HeadedTrees::fill_moves()
{
    const int headings = lattice_.headings;
    for (std::size_t h = 0; h < offset_.size(); ++h) {
        run_offset_[h] = offset_[h] * lattice_.run_steps[h];
    }
    const auto cost_e4 = [](std::int64_t cost_micro) { return cost_micro < 0 ? -1 : to_cost_e4(cost_micro); };
    for (std::size_t turn = 0; turn < turn_.size(); ++turn) {
        turn_[turn] = turn <= static_cast<std::size_t>(headings / 4) ? cost_e4(lattice_.turn_cost_micro[turn]) : -1;
    }
    for (int heading = 0; heading < headings; ++heading) {
        for (int other = 0; other < headings; ++other) {
            const int apart = std::abs(heading - other);
            const auto turn = static_cast<std::size_t>(std::min(apart, headings - apart));
            if (const std::int32_t price = cost_e4(problem_.junction.cost_micro[turn]); price >= 0) {
                sides_[static_cast<std::size_t>(heading)].push_back({.heading = other, .cost_e4 = price});
            }
        }
    }
}

/// Steps and runs of a set's water. Cells beyond the limit have none.
void HeadedTrees::fill_steps(unsigned set)
{
    const auto ceiling = ceilings_.of(set);
    std::fill(step_.begin(), step_.end(), -1);
    std::fill(run_.begin(), run_.end(), -1);
    std::int32_t least = unreachable_cost_e4;
    for (const std::int32_t cell : cells_[set]) {
        for (int h = 0; h < lattice_.headings; ++h) {
            const std::size_t edge = lattice_.edge(cell, h);
            const int to = cell + offset_[static_cast<std::size_t>(h)];
            if (lattice_.step_cost_micro[edge] >= 0 && ceiling[static_cast<std::size_t>(cell)] != unreached_um &&
                ceiling[static_cast<std::size_t>(to)] != unreached_um) {
                step_[edge] = to_cost_e4(shallow_step_cost_micro(lattice_, ceiling, cell, to, h));
                least = std::min(least, std::max(1, step_[edge]));
            }
        }
    }
    // Every move holds a step, so what a state leads to falls into a later bucket and is popped once. A step for
    // nothing may fall into the same one: then a state is looked at again.
    bucket_cost_e4_ = least == unreachable_cost_e4 ? 1 : least;
    fill_runs(set);
}

void HeadedTrees::fill_runs(unsigned set)
{
    for (const std::int32_t cell : cells_[set]) {
        for (int h = 0; h < lattice_.headings; ++h) {
            std::int32_t cost_e4 = 0;
            int at = cell;
            for (int i = 0; i < lattice_.run_steps[static_cast<std::size_t>(h)] && cost_e4 >= 0; ++i) {
                const std::int32_t step = step_[lattice_.edge(at, h)];
                cost_e4 = step < 0 ? -1 : cost_e4 + step;
                at += offset_[static_cast<std::size_t>(h)];
            }
            run_[lattice_.edge(cell, h)] = cost_e4;
        }
    }
}

HeadedTrees::Table HeadedTrees::after_joining(const Table& rest, unsigned set) const
{
    Table table(rest.size(), unreachable_cost_e4);
    for (const std::int32_t cell : cells_[set]) {
        for (int heading = 0; heading < lattice_.headings; ++heading) {
            const std::size_t state = lattice_.edge(cell, heading);
            if (run_[state] >= 0) {
                const int to = cell + run_offset_[static_cast<std::size_t>(heading)];
                table[state] = sum_e4(run_[state], rest[lattice_.edge(to, heading)]);
            }
        }
    }
    return table;
}

void HeadedTrees::keep(unsigned set, Table table)
{
    Filled& filled = gathered_[set];
    for (const std::int32_t cell : cells_[set]) {
        for (int heading = 0; heading < lattice_.headings; ++heading) {
            const std::size_t state = lattice_.edge(cell, heading);
            if (table[state] != unreachable_cost_e4) {
                filled.states.push_back(static_cast<std::int32_t>(state));
            }
        }
    }
    filled.table = std::move(table);
}

HeadedTrees::Table HeadedTrees::gather(unsigned set) const
{
    Table table(step_.size(), unreachable_cost_e4);
    if (std::has_single_bit(set)) {
        for (const auto& start : problem_.sources[static_cast<std::size_t>(std::countr_zero(set))].starts) {
            auto& value = table[lattice_.edge(start.cell, start.heading)];
            value = std::min(value, to_cost_e4(start.cost_micro));
        }
    }
    // Every split both ways round: either half may be the trunk, and headings make a difference.
    for (unsigned branch = (set - 1) & set; branch != 0; branch = (branch - 1) & set) {
        const unsigned trunk = set ^ branch;
        if (is_pressure(problem_, trunk)) {
            continue;
        }
        const Table& from = gathered_[trunk].table;
        const Table& beside = gathered_[branch].table;
        for (const std::int32_t state : gathered_[trunk].states) {
            const std::int32_t run = run_[static_cast<std::size_t>(state)];
            if (run < 0) {
                continue;
            }
            const int heading = heading_of(state);
            const int cell = cell_of(state);
            const std::int32_t trunk_cost_e4 = sum_e4(from[static_cast<std::size_t>(state)], run);
            auto& value = table[lattice_.edge(cell + run_offset_[static_cast<std::size_t>(heading)], heading)];
            for (const auto& [side, price] : sides_[static_cast<std::size_t>(heading)]) {
                const std::int32_t joining = sum_e4(beside[lattice_.edge(cell, side)], price);
                value = std::min(value, sum_e4(trunk_cost_e4, joining));
            }
        }
    }
    spread_down(table, set);
    return table;
}

HeadedTrees::Table HeadedTrees::ends(const std::vector<std::int32_t>& ceiling) const
{
    Table table(step_.size(), unreachable_cost_e4);
    for (const auto& finish : problem_.finishes) {
        const std::int32_t highest_um = ceiling[static_cast<std::size_t>(finish.cell)];
        if (highest_um != unreached_um) {
            auto& value = table[lattice_.edge(finish.cell, finish.heading)];
            value = std::min(value, finish_cost_e4(lattice_, finish, highest_um));
        }
    }
    return table;
}

HeadedTrees::Table HeadedTrees::complete(unsigned set) const
{
    Table table = set == 0 ? ends(ceilings_.of(all_)) : Table(step_.size(), unreachable_cost_e4);
    for (unsigned met = set; met != 0; met = (met - 1) & set) {
        meet(table, met, set);
    }
    spread_up(table, set);
    return table;
}

/// Water of the sources outside `set` comes to a cell where that of `met`, a part of the set, is gathered; either may
/// be the trunk.
void HeadedTrees::meet(Table& table, unsigned met, unsigned set) const
{
    const bool as_trunk = !is_pressure(problem_, all_ ^ set);
    const bool as_branch = !is_pressure(problem_, met);
    const Table& after = joined_[set ^ met];
    for (const std::int32_t state : gathered_[met].states) {
        const auto u = static_cast<std::size_t>(state);
        const std::int32_t gathered = gathered_[met].table[u];
        const std::int32_t on_met = as_branch ? after[u] : unreachable_cost_e4;
        const int cell = cell_of(state);
        // A junction's turn is the same from either pipe, so one list of sides serves both as trunk.
        for (const auto& [side, price] : sides_[static_cast<std::size_t>(heading_of(state))]) {
            const std::size_t here = lattice_.edge(cell, side);
            const std::int32_t rest = as_trunk ? std::min(after[here], on_met) : on_met;
            table[here] = std::min(table[here], sum_e4(sum_e4(gathered, price), rest));
        }
    }
}

template <class Elsewhere, class Moves>
void HeadedTrees::spread(Table& table, unsigned set, Elsewhere elsewhere, Moves moves) const
{
    BucketQueue queue(bucket_cost_e4_);
    const auto offer = [&](int cell, int heading, std::int32_t cost_e4) {
        const std::size_t state = lattice_.edge(cell, heading);
        // Both are bounds of what this part and the others of a drain cost: beyond the limit, so is every such drain.
        if (cost_e4 < table[state] && sum_e4(cost_e4, elsewhere(cell)) <= limit_) {
            table[state] = cost_e4;
            queue.push(cost_e4, static_cast<std::int32_t>(state));
        }
    };
    for (const std::int32_t cell : cells_[set]) {
        for (int heading = 0; heading < lattice_.headings; ++heading) {
            auto& value = table[lattice_.edge(cell, heading)];
            if (const std::int32_t cost_e4 = std::exchange(value, unreachable_cost_e4);
                cost_e4 != unreachable_cost_e4) {
                offer(cell, heading, cost_e4);
            }
        }
    }
    while (const auto item = queue.pop()) {
        if (table[static_cast<std::size_t>(item->id)] == item->key) { // else improved since
            moves(cell_of(item->id), heading_of(item->id), static_cast<std::int32_t>(item->key), offer);
        }
    }
}

void HeadedTrees::spread_down(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.rest_cost_e4(all_ ^ set, cell); };
    spread(table, set, elsewhere, [&](int cell, int heading, std::int32_t cost_e4, const auto& offer) {
        if (const std::int32_t step = step_[lattice_.edge(cell, heading)]; step >= 0) {
            offer(cell + offset_[static_cast<std::size_t>(heading)], heading, sum_e4(cost_e4, step));
        }
        for_turned(lattice_.headings, heading, [&](std::size_t turn, int into) {
            const std::int32_t run = run_[lattice_.edge(cell, into)];
            if (turn_[turn] >= 0 && run >= 0) {
                offer(cell + run_offset_[static_cast<std::size_t>(into)], into,
                      sum_e4(cost_e4, sum_e4(turn_[turn], run)));
            }
        });
    });
}

void HeadedTrees::spread_up(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.gathered_cost_e4(all_ ^ set, cell); };
    spread(table, all_ ^ set, elsewhere, [&](int cell, int heading, std::int32_t cost_e4, const auto& offer) {
        // A number may have come round the lattice's edge, but then no step leads from that cell in this heading.
        const int up = cell - offset_[static_cast<std::size_t>(heading)];
        if (up >= 0 && up < lattice_.cells() && step_[lattice_.edge(up, heading)] >= 0) {
            offer(up, heading, sum_e4(cost_e4, step_[lattice_.edge(up, heading)]));
        }
        const int top = cell - run_offset_[static_cast<std::size_t>(heading)];
        if (top < 0 || top >= lattice_.cells() || run_[lattice_.edge(top, heading)] < 0) {
            return;
        }
        const std::int32_t above = sum_e4(cost_e4, run_[lattice_.edge(top, heading)]);
        for_turned(lattice_.headings, heading, [&](std::size_t turn, int before) {
            if (turn_[turn] >= 0) {
                offer(top, before, sum_e4(above, turn_[turn]));
            }
        });
    });
}

} // namespace trenchwright
