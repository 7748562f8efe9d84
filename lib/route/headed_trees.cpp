#include "route/buckets.hpp"
#include "route/least_trees.hpp"

#include <algorithm>
#include <bit>

namespace trenchwright {

namespace {

constexpr std::int32_t far = out_of_reach;

/// Sums the parts of an offer; nothing when one is out of reach or closed.
std::int32_t total(std::initializer_list<std::int32_t> parts)
{
    std::int32_t result = 0;
    for (const std::int32_t part : parts) {
        result = part < 0 ? far : sum_of_parts(result, part);
    }
    return result;
}

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

std::vector<std::int32_t> Ceilings::of_any() const
{
    auto highest = by_source_.front();
    for (const auto& other : by_source_) {
        std::transform(highest.begin(), highest.end(), other.begin(), highest.begin(),
                       [](std::int32_t a, std::int32_t b) { return std::max(a, b); });
    }
    return highest;
}

HeadedTrees::HeadedTrees(const TreeProblem& problem, const Ceilings& ceilings, const LeastTrees& least,
                         std::int32_t limit_parts)
    : problem_(problem), lattice_(problem.lattice), ceilings_(ceilings), least_(least), limit_(limit_parts),
      all_((1U << problem.sources.size()) - 1), step_(problem.lattice.step_micros.size(), -1),
      run_(problem.lattice.step_micros.size(), -1), gathered_(all_ + 1), rest_(all_ + 1), joined_(all_ + 1)
{
    fill_moves();
    for (unsigned set = 1; set < all_; ++set) {
        fill_steps(ceilings.of(set));
        keep(set, gather(set));
    }
    for (unsigned set = 0; set < all_; ++set) {
        fill_steps(ceilings.of(all_ ^ set));
        rest_[set] = complete(set);
        joined_[set] = after_joining(rest_[set]);
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
    for (std::size_t turn = 0; turn < turn_.size(); ++turn) {
        const auto parts = [](std::int64_t micros) { return micros < 0 ? -1 : parts_of(micros); };
        turn_[turn] = turn <= static_cast<std::size_t>(headings / 4) ? parts(lattice_.turn_micros[turn]) : -1;
        junction_[turn] = parts(problem_.junction.micros[turn]);
    }
}

void HeadedTrees::fill_steps(const std::vector<std::int32_t>& ceiling)
{
    std::int32_t least = far;
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        const auto u = static_cast<std::size_t>(cell);
        for (int h = 0; h < lattice_.headings; ++h) {
            const std::size_t edge = lattice_.edge(cell, h);
            step_[edge] = -1;
            if (lattice_.step_micros[edge] < 0 || ceiling[u] == Ceilings::none_reaches) {
                continue;
            }
            const int to = cell + offset_[static_cast<std::size_t>(h)];
            if (ceiling[static_cast<std::size_t>(to)] != Ceilings::none_reaches) {
                step_[edge] = parts_of(shallow_step_micros(lattice_, ceiling, cell, to, h));
                least = std::min(least, std::max(1, step_[edge]));
            }
        }
    }
    bucket_parts_ = least == far ? 1 : least;
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
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

HeadedTrees::Table HeadedTrees::after_joining(const Table& rest) const
{
    Table table(rest.size(), far);
    for (std::size_t state = 0; state < rest.size(); ++state) {
        if (run_[state] >= 0) {
            const std::size_t heading = state % static_cast<std::size_t>(lattice_.headings);
            const auto to =
                static_cast<std::size_t>(static_cast<int>(state) + run_offset_[heading] * lattice_.headings);
            table[state] = sum_of_parts(run_[state], rest[to]);
        }
    }
    return table;
}

void HeadedTrees::keep(unsigned set, Table table)
{
    Filled& filled = gathered_[set];
    for (std::size_t state = 0; state < table.size(); ++state) {
        if (table[state] != far) {
            filled.states.push_back(static_cast<std::int32_t>(state));
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
        for (const std::int32_t state : gathered_[trunk].states) {
            const int heading = state % lattice_.headings;
            const int cell = state / lattice_.headings;
            const std::int32_t run = run_[static_cast<std::size_t>(state)];
            if (run < 0 || is_pressure(problem_, trunk)) {
                continue;
            }
            auto& value = table[lattice_.edge(cell + run_offset_[static_cast<std::size_t>(heading)], heading)];
            for (int other = 0; other < lattice_.headings; ++other) {
                const int apart = std::abs(heading - other);
                const std::int32_t price =
                    junction_[static_cast<std::size_t>(std::min(apart, lattice_.headings - apart))];
                if (price >= 0) {
                    value = std::min(value, total({gathered_[trunk].table[static_cast<std::size_t>(state)],
                                                   gathered_[branch].table[lattice_.edge(cell, other)], price, run}));
                }
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
        const auto i = static_cast<std::size_t>(finish.cell);
        if (ceiling[i] == Ceilings::none_reaches) {
            continue;
        }
        const std::int64_t twice_cut = std::int64_t{lattice_.cut_zero_um[i]} - ceiling[i] + finish.cut_zero_um -
                                       std::min(ceiling[i], finish.highest_um);
        auto& value = table[lattice_.edge(finish.cell, finish.heading)];
        value = std::min(value, parts_of(finish.micros + finish.dig_micros * twice_cut / 2'000'000));
    }
    return table;
}

HeadedTrees::Table HeadedTrees::complete(unsigned set) const
{
    Table table = set == 0 ? ends(ceilings_.of(all_)) : Table(step_.size(), far);
    for (unsigned met = set; met != 0; met = (met - 1) & set) {
        const Table& after = joined_[set ^ met];
        for (const std::int32_t state : gathered_[met].states) {
            const int heading = state % lattice_.headings;
            const int cell = state / lattice_.headings;
            const std::int32_t gathered = gathered_[met].table[static_cast<std::size_t>(state)];
            for (int other = 0; other < lattice_.headings; ++other) {
                const int apart = std::abs(heading - other);
                const auto price = junction_[static_cast<std::size_t>(std::min(apart, lattice_.headings - apart))];
                if (price < 0) {
                    continue;
                }
                const std::size_t here = lattice_.edge(cell, other);
                const std::int32_t as_trunk = is_pressure(problem_, all_ ^ set) ? far : after[here];
                const std::int32_t as_branch =
                    is_pressure(problem_, met) ? far : after[static_cast<std::size_t>(state)];
                table[here] = std::min(table[here], total({gathered, price, std::min(as_trunk, as_branch)}));
            }
        }
    }
    spread_up(table, set);
    return table;
}

template <class Elsewhere, class Moves> void HeadedTrees::spread(Table& table, Elsewhere elsewhere, Moves moves) const
{
    BucketQueue queue(bucket_parts_);
    const auto offer = [&](int cell, int heading, std::int32_t parts) {
        auto& value = table[lattice_.edge(cell, heading)];
        if (parts < value && sum_of_parts(parts, elsewhere(cell)) <= limit_) {
            value = parts;
            queue.push(parts, static_cast<std::int32_t>(lattice_.edge(cell, heading)));
        }
    };
    for (std::size_t state = 0; state < table.size(); ++state) {
        if (const std::int32_t parts = table[state]; parts != far) {
            table[state] = far;
            offer(static_cast<int>(state) / lattice_.headings, static_cast<int>(state) % lattice_.headings, parts);
        }
    }
    while (const auto item = queue.pop()) {
        if (table[static_cast<std::size_t>(item->id)] == item->key) {
            moves(item->id / lattice_.headings, item->id % lattice_.headings, static_cast<std::int32_t>(item->key),
                  offer);
        }
    }
}

void HeadedTrees::spread_down(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.rest_parts(all_ ^ set, cell); };
    spread(table, elsewhere, [&](int cell, int heading, std::int32_t parts, const auto& offer) {
        if (const std::int32_t step = step_[lattice_.edge(cell, heading)]; step >= 0) {
            offer(cell + offset_[static_cast<std::size_t>(heading)], heading, sum_of_parts(parts, step));
        }
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int32_t price = turn_[static_cast<std::size_t>(turn)];
            for (const int into : {heading + turn, heading + lattice_.headings - turn}) {
                const int to = into % lattice_.headings;
                const std::int32_t run = run_[lattice_.edge(cell, to)];
                if (price >= 0 && run >= 0) {
                    offer(cell + run_offset_[static_cast<std::size_t>(to)], to, total({parts, price, run}));
                }
            }
        }
    });
}

void HeadedTrees::spread_up(Table& table, unsigned set) const
{
    const auto elsewhere = [&](int cell) { return least_.gathered_parts(all_ ^ set, cell); };
    spread(table, elsewhere, [&](int cell, int heading, std::int32_t parts, const auto& offer) {
        const int up = cell - offset_[static_cast<std::size_t>(heading)];
        if (up >= 0 && up < lattice_.cells() && step_[lattice_.edge(up, heading)] >= 0) {
            offer(up, heading, sum_of_parts(parts, step_[lattice_.edge(up, heading)]));
        }
        const int top = cell - run_offset_[static_cast<std::size_t>(heading)];
        if (top < 0 || top >= lattice_.cells() || run_[lattice_.edge(top, heading)] < 0) {
            return;
        }
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int32_t price = turn_[static_cast<std::size_t>(turn)];
            for (const int before : {heading + turn, heading + lattice_.headings - turn}) {
                if (price >= 0) {
                    offer(top, before % lattice_.headings, total({parts, price, run_[lattice_.edge(top, heading)]}));
                }
            }
        }
    });
}

} // namespace trenchwright
