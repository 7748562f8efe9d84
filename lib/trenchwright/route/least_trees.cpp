#include "trenchwright/route/least_trees.hpp"

#include "trenchwright/route/buckets.hpp"
#include "trenchwright/route/moves.hpp"

#include <algorithm>
#include <bit>
#include <utility>

namespace trenchwright {

std::int32_t finish_cost_e4(const Lattice& lattice, const Finish& finish, std::int32_t ceiling_um)
{
    const std::int64_t twice_cut = std::int64_t{lattice.cut_zero_um[static_cast<std::size_t>(finish.cell)]} -
                                   ceiling_um + finish.cut_zero_um - std::min(ceiling_um, finish.highest_um);
    const std::int64_t cost_micro = finish.cost_micro + dig_cost_micro(finish.dig_cost_micro_per_m, twice_cut);
    // To an end above the ground the cut, and with it the cost, may be less than 0: rounded down there too.
    return to_cost_e4(cost_micro < 0 ? cost_micro - (micro_per_e4 - 1) : cost_micro);
}

LeastTrees::LeastTrees(const TreeProblem& problem, const CeilingOf& ceiling_of, bool with_rest)
    : lattice_(problem.lattice), offset_(cell_offsets(lattice_)),
      bucket_cost_e4_(std::max<std::int64_t>(1, money_width(lattice_) / micro_per_e4)),
      outlet_bit_(1U << problem.sources.size())
{
    const unsigned all = outlet_bit_ - 1;
    const unsigned sets = with_rest ? 2 * outlet_bit_ - 1 : outlet_bit_ + 1;
    tables_.emplace_back();
    for (unsigned set = 1; set < sets; ++set) {
        const bool gathers = set < outlet_bit_;
        // What is still to pay lies on the pipe of the sources that are not in the set: theirs is the ceiling.
        tables_.push_back(table_of(problem, set, ceiling_of(gathers ? set : all ^ (set ^ outlet_bit_))));
    }
    whole_cost_e4_ = unreachable_cost_e4;
    for (std::size_t cell = 0; cell < lattice_.open.size(); ++cell) {
        whole_cost_e4_ = std::min(whole_cost_e4_, sum_e4(tables_[all][cell], tables_[outlet_bit_][cell]));
    }
}

LeastTrees::Table LeastTrees::table_of(const TreeProblem& problem, unsigned set,
                                       const std::vector<std::int32_t>& ceiling) const
{
    Table table(lattice_.open.size(), unreachable_cost_e4);
    const auto offer = [&](int cell, std::int32_t cost_e4) {
        const auto i = static_cast<std::size_t>(cell);
        table[i] = ceiling[i] != unreached_um ? std::min(table[i], cost_e4) : table[i];
    };
    if (set == outlet_bit_) {
        for (const auto& finish : problem.finishes) {
            const std::int32_t highest_um = ceiling[static_cast<std::size_t>(finish.cell)];
            if (highest_um != unreached_um) {
                offer(finish.cell, finish_cost_e4(lattice_, finish, highest_um));
            }
        }
    } else if (std::has_single_bit(set)) {
        for (const auto& start : problem.sources[static_cast<std::size_t>(std::countr_zero(set))].starts) {
            offer(start.cell, to_cost_e4(start.cost_micro));
        }
    } else {
        merge_into(table, set);
    }
    spread(table, set < outlet_bit_, ceiling);
    return table;
}

std::vector<std::int32_t> LeastTrees::cells_within(unsigned sources, std::int32_t limit_cost_e4) const
{
    const unsigned others = (outlet_bit_ - 1) ^ sources;
    std::vector<std::int32_t> cells;
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        if (sum_e4(gathered_cost_e4(sources, cell), rest_cost_e4(others, cell)) <= limit_cost_e4) {
            cells.push_back(cell);
        }
    }
    return cells;
}

void LeastTrees::merge_into(Table& table, unsigned set) const
{
    const unsigned lowest = set & (~set + 1);
    for (unsigned part = (set - 1) & set; part != 0; part = (part - 1) & set) {
        if ((part & lowest) == 0) {
            continue; // its other half holds the lowest; without headings trunk and branch are alike
        }
        const Table& a = tables_[part];
        const Table& b = tables_[set ^ part];
        for (std::size_t cell = 0; cell < table.size(); ++cell) {
            table[cell] = std::min(table[cell], sum_e4(a[cell], b[cell]));
        }
    }
}

/// Dijkstra from what the table holds. Water that is gathered goes on downstream; what is still to pay is asked
/// upstream.
void LeastTrees::spread(Table& table, bool downstream, const std::vector<std::int32_t>& ceiling) const
{
    BucketQueue queue(bucket_cost_e4_);
    for (std::size_t cell = 0; cell < table.size(); ++cell) {
        table[cell] = ceiling[cell] != unreached_um ? table[cell] : unreachable_cost_e4;
        if (table[cell] != unreachable_cost_e4) {
            queue.push(table[cell], static_cast<std::int32_t>(cell));
        }
    }
    while (const auto item = queue.pop()) {
        if (table[static_cast<std::size_t>(item->id)] != item->key) {
            continue; // improved since: buckets of any width give exact tables
        }
        for (int h = 0; h < lattice_.headings; ++h) {
            const int offset = offset_[static_cast<std::size_t>(h)];
            const int to = downstream ? item->id + offset : item->id - offset;
            if (to < 0 || to >= lattice_.cells() || ceiling[static_cast<std::size_t>(to)] == unreached_um) {
                continue;
            }
            const auto [upper, lower] = downstream ? std::pair(item->id, to) : std::pair(to, item->id);
            if (lattice_.step_cost_micro[lattice_.edge(upper, h)] < 0) {
                continue;
            }
            const std::int32_t step = to_cost_e4(shallow_step_cost_micro(lattice_, ceiling, upper, lower, h));
            const std::int32_t reached = sum_e4(static_cast<std::int32_t>(item->key), step);
            if (reached < table[static_cast<std::size_t>(to)]) {
                table[static_cast<std::size_t>(to)] = reached;
                queue.push(reached, to);
            }
        }
    }
}

} // namespace trenchwright
