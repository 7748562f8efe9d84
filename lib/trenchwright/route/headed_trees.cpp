#include "trenchwright/route/buckets.hpp"
#include "trenchwright/route/least_trees.hpp"

#include <algorithm>
#include <bit>
#include <utility>

namespace trenchwright {

namespace {

constexpr std::int32_t far = out_of_reach;

} // namespace

Ceilings::Ceilings(const TreeProblem& problem)
{
    SearchProblem alone{.lattice = problem.lattice,
                        .fall_um = problem.fall_um,
                        .highest_um = problem.highest_um,
                        .starts = {},
                        .finishes = problem.finishes};
    need_ = lowest_draining(alone, 0, 0);
    for (const auto& source : problem.sources) {
        alone.starts = source.starts;
        auto ceiling = source.pressure
                           ? std::vector(problem.pressure_highest_um.begin(), problem.pressure_highest_um.end())
                           : highest_reaching(alone);
        for (std::size_t cell = 0; cell < ceiling.size(); ++cell) {
            const bool usable = source.pressure ? problem.lattice.open[cell] != 0 : ceiling[cell] >= need_[cell];
            ceiling[cell] = usable ? ceiling[cell] : none_reaches;
        }
        by_source_.push_back(std::move(ceiling));
        pressure_.push_back(static_cast<std::uint8_t>(source.pressure));
    }
}

std::vector<std::int32_t> Ceilings::of(unsigned sources) const
{
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
    return lowest.empty() ? std::vector(need_.size(), none_reaches) : lowest; // pressure lines alone gather nothing
}

HeadedTrees::HeadedTrees(const TreeProblem& problem, const Ceilings& ceilings, const LeastTrees& least,
                         std::int32_t limit_parts)
    : problem_(problem), lattice_(problem.lattice), ceilings_(ceilings), least_(least), limit_(limit_parts),
      all_((1U << problem.sources.size()) - 1),
      heading_bits_(std::countr_zero(static_cast<unsigned>(problem.lattice.headings))), cells_(all_ + 1),
      step_(problem.lattice.step_micros.size(), -1), run_(problem.lattice.step_micros.size(), -1), gathered_(all_ + 1),
      rest_(all_ + 1), joined_(all_ + 1)
{
    fill_moves();
    for (unsigned set = 1; set <= all_; ++set) {
        cells_[set] = least.cells_within(set, limit_parts);
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

std::int32_t HeadedTrees::whole_parts() const
{
    std::int32_t least = far;
    for (const auto& start : problem_.sources.front().starts) {
        const std::int32_t rest = rest_[all_ & ~1U][lattice_.edge(start.cell, start.heading)];
        least = std::min(least, sum_of_parts(parts_of(start.micros), rest));
    }
    return least;
}

void HeadedTrees::fill_moves()
{
    const int headings = lattice_.headings;
    for (int h = 0; h < headings; ++h) {
        const auto i = static_cast<std::size_t>(h);
        const auto [col, row] = heading_offset(h, headings);
        offset_[i] = row * lattice_.cols + col;
        run_offset_[i] = offset_[i] * lattice_.run_steps[i];
    }
    const auto parts = [](std::int64_t micros) { return micros < 0 ? -1 : parts_of(micros); };
    for (std::size_t turn = 0; turn < turn_.size(); ++turn) {
        turn_[turn] = turn <= static_cast<std::size_t>(headings / 4) ? parts(lattice_.turn_micros[turn]) : -1;
    }
    for (int heading = 0; heading < headings; ++heading) {
        for (int other = 0; other < headings; ++other) {
            const int apart = std::abs(heading - other);
            const auto turn = static_cast<std::size_t>(std::min(apart, headings - apart));
            if (const std::int32_t price = parts(problem_.junction.micros[turn]); price >= 0) {
                sides_[static_cast<std::size_t>(heading)].push_back({.heading = other, .parts = price});
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
    std::int32_t least = far;
    for (const std::int32_t cell : cells_[set]) {
        for (int h = 0; h < lattice_.headings; ++h) {
            const std::size_t edge = lattice_.edge(cell, h);
            const int to = cell + offset_[static_cast<std::size_t>(h)];
            if (lattice_.step_micros[edge] >= 0 && ceiling[static_cast<std::size_t>(cell)] != none_reaches &&
                ceiling[static_cast<std::size_t>(to)] != none_reaches) {
                step_[edge] = parts_of(shallow_step_micros(lattice_, ceiling, cell, to, h));
                least = std::min(least, std::max(1, step_[edge]));
            }
        }
    }
    bucket_parts_ = least == far ? 1 : least;
    fill_runs(set);
}

void HeadedTrees::fill_runs(unsigned set)
{
    for (const std::int32_t cell : cells_[set]) {
        for (int h = 0; h < lattice_.headings; ++h) {
            std::int32_t parts = 0;
            int at = cell;
            for (int i = 0; i < lattice_.run_steps[static_cast<std::size_t>(h)] && parts >= 0; ++i) {
                const std::int32_t step = step_[lattice_.edge(at, h)];
                parts = step < 0 ? -1 : parts + step;
                at += offset_[static_cast<std::size_t>(h)];
            }
            run_[lattice_.edge(cell, h)] = parts;
        }
    }
}

HeadedTrees::Table HeadedTrees::after_joining(const Table& rest, unsigned set) const
{
    Table table(rest.size(), far);
    for (const std::int32_t cell : cells_[set]) {
        for (int heading = 0; heading < lattice_.headings; ++heading) {
            const std::size_t state = lattice_.edge(cell, heading);
            if (run_[state] >= 0) {
                const int to = cell + run_offset_[static_cast<std::size_t>(heading)];
                table[state] = sum_of_parts(run_[state], rest[lattice_.edge(to, heading)]);
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
            if (table[state] != far) {
                filled.states.push_back(static_cast<std::int32_t>(state));
            }
        }
    }
    filled.table = std::move(table);
}

HeadedTrees::Table HeadedTrees::gather(unsigned set) const
{
    Table table(step_.size(), far);
    if (std::has_single_bit(set)) {
        for (const auto& start : problem_.sources[static_cast<std::size_t>(std::countr_zero(set))].starts) {
            auto& value = table[lattice_.edge(start.cell, start.heading)];
            value = std::min(value, parts_of(start.micros));
        }
    }
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
            const std::int32_t trunk_parts = sum_of_parts(from[static_cast<std::size_t>(state)], run);
            auto& value = table[lattice_.edge(cell + run_offset_[static_cast<std::size_t>(heading)], heading)];
            for (const auto& [side, price] : sides_[static_cast<std::size_t>(heading)]) {
                const std::int32_t joining = sum_of_parts(beside[lattice_.edge(cell, side)], price);
                value = std::min(value, sum_of_parts(trunk_parts, joining));
            }
        }
    }
    spread_down(table, set);
    return table;
}

HeadedTrees::Table HeadedTrees::ends(const std::vector<std::int32_t>& ceiling) const
{
    Table table(step_.size(), far);
    for (const auto& finish : problem_.finishes) {
        const std::int32_t highest_um = ceiling[static_cast<std::size_t>(finish.cell)];
        if (highest_um != none_reaches) {
            auto& value = table[lattice_.edge(finish.cell, finish.heading)];
            value = std::min(value, finish_parts(lattice_, finish, highest_um));
        }
    }
    return table;
}

HeadedTrees::Table HeadedTrees::complete(unsigned set) const
{
    Table table = set == 0 ? ends(ceilings_.of(all_)) : Table(step_.size(), far);
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
        const std::int32_t on_met = as_branch ? after[u] : far;
        const int cell = cell_of(state);
        for (const auto& [side, price] : sides_[static_cast<std::size_t>(heading_of(state))]) {
            const std::size_t here = lattice_.edge(cell, side);
            const std::int32_t rest = as_trunk ? std::min(after[here], on_met) : on_met;
            table[here] = std::min(table[here], sum_of_parts(sum_of_parts(gathered, price), rest));
        }
    }
}

template <class Elsewhere, class Moves>
void HeadedTrees::spread(Table& table, unsigned set, Elsewhere elsewhere, Moves moves) const
{
    BucketQueue queue(bucket_parts_);
    const auto offer = [&](int cell, int heading, std::int32_t parts) {
        const std::size_t state = lattice_.edge(cell, heading);
        if (parts < table[state] && sum_of_parts(parts, elsewhere(cell)) <= limit_) {
            table[state] = parts;
            queue.push(parts, static_cast<std::int32_t>(state));
        }
    };
    for (const std::int32_t cell : cells_[set]) {
        for (int heading = 0; heading < lattice_.headings; ++heading) {
            auto& value = table[lattice_.edge(cell, heading)];
            if (const std::int32_t parts = std::exchange(value, far); parts != far) {
                offer(cell, heading, parts);
            }
        }
    }
    while (const auto item = queue.pop()) {
        if (table[static_cast<std::size_t>(item->id)] == item->key) {
            moves(cell_of(item->id), heading_of(item->id), static_cast<std::int32_t>(item->key), offer);
        }
    }
}

void HeadedTrees::spread_down(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.rest_parts(all_ ^ set, cell); };
    spread(table, set, elsewhere, [&](int cell, int heading, std::int32_t parts, const auto& offer) {
        if (const std::int32_t step = step_[lattice_.edge(cell, heading)]; step >= 0) {
            offer(cell + offset_[static_cast<std::size_t>(heading)], heading, sum_of_parts(parts, step));
        }
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int32_t price = turn_[static_cast<std::size_t>(turn)];
            for (const int into : {heading + turn, heading + lattice_.headings - turn}) {
                const int to = into & (lattice_.headings - 1);
                const std::int32_t run = run_[lattice_.edge(cell, to)];
                if (price >= 0 && run >= 0) {
                    offer(cell + run_offset_[static_cast<std::size_t>(to)], to,
                          sum_of_parts(parts, sum_of_parts(price, run)));
                }
            }
        }
    });
}

void HeadedTrees::spread_up(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.gathered_parts(all_ ^ set, cell); };
    spread(table, all_ ^ set, elsewhere, [&](int cell, int heading, std::int32_t parts, const auto& offer) {
        const int up = cell - offset_[static_cast<std::size_t>(heading)];
        if (up >= 0 && up < lattice_.cells() && step_[lattice_.edge(up, heading)] >= 0) {
            offer(up, heading, sum_of_parts(parts, step_[lattice_.edge(up, heading)]));
        }
        const int top = cell - run_offset_[static_cast<std::size_t>(heading)];
        if (top < 0 || top >= lattice_.cells() || run_[lattice_.edge(top, heading)] < 0) {
            return;
        }
        const std::int32_t above = sum_of_parts(parts, run_[lattice_.edge(top, heading)]);
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int32_t price = turn_[static_cast<std::size_t>(turn)];
            for (const int before : {heading + turn, heading + lattice_.headings - turn}) {
                if (price >= 0) {
                    offer(top, before & (lattice_.headings - 1), sum_of_parts(above, price));
                }
            }
        }
    });
}

} // namespace trenchwright
