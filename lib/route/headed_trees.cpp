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

HeadedTrees::HeadedTrees(const TreeProblem& problem, std::span<const std::int32_t> highest_um,
                         std::span<const std::uint8_t> open, const LeastTrees& least, std::int32_t limit_parts)
    : problem_(problem), lattice_(problem.lattice), least_(least), highest_(highest_um), limit_(limit_parts),
      all_((1U << problem.sources.size()) - 1), gathered_(all_ + 1), rest_(all_ + 1)
{
    fill_steps(highest_um, open);
    for (unsigned set = 1; set < all_; ++set) {
        keep(set, gather(set));
    }
    for (unsigned set = 0; set < all_; ++set) {
        rest_[set] = complete(set);
    }
}

void HeadedTrees::fill_steps(std::span<const std::int32_t> highest_um, std::span<const std::uint8_t> open)
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
    step_.assign(lattice_.step_micros.size(), -1);
    std::int32_t least = far;
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        for (int h = 0; open[static_cast<std::size_t>(cell)] != 0 && h < headings; ++h) {
            const std::size_t edge = lattice_.edge(cell, h);
            const int to = lattice_.stepped(cell, h);
            if (to < 0 || open[static_cast<std::size_t>(to)] == 0 || lattice_.step_micros[edge] < 0) {
                continue;
            }
            const auto u = static_cast<std::size_t>(cell);
            const auto v = static_cast<std::size_t>(to);
            const std::int64_t twice_cut =
                std::int64_t{lattice_.cut_zero_um[u]} - highest_um[u] + lattice_.cut_zero_um[v] - highest_um[v];
            step_[edge] = parts_of(lattice_.step_micros[edge] + lattice_.step_dig_micros[edge] * twice_cut / 2'000'000);
            least = std::min(least, std::max(1, step_[edge]));
        }
    }
    bucket_parts_ = least == far ? 1 : least;
    run_.assign(step_.size(), -1);
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        for (int h = 0; h < headings; ++h) {
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

/// A pressure line by itself joins others; nothing joins it.
bool HeadedTrees::may_be_trunk(unsigned set) const
{
    return !(std::has_single_bit(set) && problem_.sources[static_cast<std::size_t>(std::countr_zero(set))].pressure);
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

HeadedTrees::Table HeadedTrees::gather(unsigned set)
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
            if (run < 0 || !may_be_trunk(trunk)) {
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

HeadedTrees::Table HeadedTrees::complete(unsigned set)
{
    Table table(step_.size(), far);
    if (set == 0) {
        for (const auto& finish : problem_.finishes) {
            const auto i = static_cast<std::size_t>(finish.cell);
            const std::int64_t twice_cut = std::int64_t{lattice_.cut_zero_um[i]} - highest_[i] + finish.cut_zero_um -
                                           std::min(highest_[i], finish.highest_um);
            auto& value = table[lattice_.edge(finish.cell, finish.heading)];
            value = std::min(
                value, parts_of(finish.micros + finish.dig_micros * std::max<std::int64_t>(0, twice_cut) / 2'000'000));
        }
    }
    for (unsigned met = set; met != 0; met = (met - 1) & set) {
        const Table& after = rest_[set ^ met];
        for (const std::int32_t state : gathered_[met].states) {
            const int heading = state % lattice_.headings;
            const int cell = state / lattice_.headings;
            const std::int32_t gathered = gathered_[met].table[static_cast<std::size_t>(state)];
            for (int other = 0; other < lattice_.headings; ++other) {
                const int apart = std::abs(heading - other);
                const std::int32_t price =
                    junction_[static_cast<std::size_t>(std::min(apart, lattice_.headings - apart))];
                if (price < 0) {
                    continue;
                }
                auto& value = table[lattice_.edge(cell, other)];
                const auto along = [&](int trunk) {
                    const std::int32_t run = run_[lattice_.edge(cell, trunk)];
                    const int to = cell + run_offset_[static_cast<std::size_t>(trunk)];
                    value = run < 0 ? value
                                    : std::min(value, total({gathered, price, run, after[lattice_.edge(to, trunk)]}));
                };
                if (may_be_trunk(all_ ^ set)) {
                    along(other);
                }
                if (may_be_trunk(met)) {
                    along(heading);
                }
            }
        }
    }
    spread_up(table, set);
    return table;
}

void HeadedTrees::spread_down(Table& table, unsigned set) const
{
    BucketQueue queue(bucket_parts_);
    const auto offer = [&](int cell, int heading, std::int32_t parts) {
        auto& value = table[lattice_.edge(cell, heading)];
        if (parts < value && sum_of_parts(parts, least_.rest_parts(all_ ^ set, cell)) <= limit_) {
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
        if (table[static_cast<std::size_t>(item->id)] != item->key) {
            continue;
        }
        const int heading = item->id % lattice_.headings;
        const int cell = item->id / lattice_.headings;
        const auto parts = static_cast<std::int32_t>(item->key);
        if (const std::int32_t step = step_[static_cast<std::size_t>(item->id)]; step >= 0) {
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
    }
}

void HeadedTrees::spread_up(Table& table, unsigned set) const
{
    BucketQueue queue(bucket_parts_);
    const auto offer = [&](int cell, int heading, std::int32_t parts) {
        auto& value = table[lattice_.edge(cell, heading)];
        if (parts < value && sum_of_parts(parts, least_.gathered_parts(all_ ^ set, cell)) <= limit_) {
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
        if (table[static_cast<std::size_t>(item->id)] != item->key) {
            continue;
        }
        const int heading = item->id % lattice_.headings;
        const int cell = item->id / lattice_.headings;
        const auto parts = static_cast<std::int32_t>(item->key);
        const int up = cell - offset_[static_cast<std::size_t>(heading)];
        if (up >= 0 && up < lattice_.cells() && step_[lattice_.edge(up, heading)] >= 0) {
            offer(up, heading, sum_of_parts(parts, step_[lattice_.edge(up, heading)]));
        }
        const int top = cell - run_offset_[static_cast<std::size_t>(heading)];
        if (top < 0 || top >= lattice_.cells() || run_[lattice_.edge(top, heading)] < 0) {
            continue;
        }
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int32_t price = turn_[static_cast<std::size_t>(turn)];
            for (const int before : {heading + turn, heading + lattice_.headings - turn}) {
                if (price >= 0) {
                    offer(top, before % lattice_.headings, total({parts, price, run_[lattice_.edge(top, heading)]}));
                }
            }
        }
    }
}

} // namespace trenchwright
