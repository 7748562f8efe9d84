#include "route/least_trees.hpp"

#include "route/buckets.hpp"

#include <algorithm>
#include <bit>

namespace trenchwright {

namespace {

constexpr std::int32_t far = out_of_reach;

/// A step at the shallowest cuts there can be, the cheaper of its two directions.
std::int32_t step_parts(const Lattice& lattice, std::span<const std::int32_t> highest, int from, int to, int heading)
{
    const auto one_way = [&](int u, int v, int h) -> std::int64_t {
        return lattice.step_micros[lattice.edge(u, h)] < 0 ? -1 : shallow_step_micros(lattice, highest, u, v, h);
    };
    const std::int64_t there = one_way(from, to, heading);
    const std::int64_t back = one_way(to, from, (heading + lattice.headings / 2) % lattice.headings);
    const std::int64_t cheaper = there < 0 ? back : back < 0 ? there : std::min(there, back);
    return cheaper < 0 ? -1 : parts_of(cheaper);
}

} // namespace

LeastTrees::LeastTrees(const TreeProblem& problem, std::span<const std::int32_t> highest_um,
                       std::span<const std::uint8_t> open, bool with_rest)
    : lattice_(problem.lattice), step_parts_(problem.lattice.step_micros.size(), -1),
      outlet_bit_(1U << problem.sources.size())
{
    for (int h = 0; h < lattice_.headings; ++h) {
        const auto [col, row] = heading_offset(h, lattice_.headings);
        offset_[static_cast<std::size_t>(h)] = row * lattice_.cols + col;
    }
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        for (int h = 0; open[static_cast<std::size_t>(cell)] != 0 && h < lattice_.headings; ++h) {
            const int to = lattice_.stepped(cell, h);
            if (to >= 0 && open[static_cast<std::size_t>(to)] != 0) {
                step_parts_[lattice_.edge(cell, h)] = step_parts(lattice_, highest_um, cell, to, h);
            }
        }
    }
    const unsigned sets = with_rest ? 2 * outlet_bit_ - 1 : outlet_bit_ + 1;
    for (unsigned set = 0; set < sets; ++set) {
        tables_.push_back(set == 0 ? Table{} : table_of(problem, set, highest_um, open));
    }
    const unsigned all = outlet_bit_ - 1;
    whole_parts_ = far;
    for (std::size_t cell = 0; cell < open.size(); ++cell) {
        whole_parts_ = std::min(whole_parts_, sum_of_parts(tables_[all][cell], tables_[outlet_bit_][cell]));
    }
}

LeastTrees::Table LeastTrees::table_of(const TreeProblem& problem, unsigned set,
                                       std::span<const std::int32_t> highest_um,
                                       std::span<const std::uint8_t> open) const
{
    Table table(open.size(), far);
    const auto offer = [&](int cell, std::int64_t micros) {
        auto& value = table[static_cast<std::size_t>(cell)];
        value = open[static_cast<std::size_t>(cell)] != 0 ? std::min(value, parts_of(micros)) : value;
    };
    if (set == outlet_bit_) {
        for (const auto& finish : problem.finishes) {
            const auto i = static_cast<std::size_t>(finish.cell);
            const std::int64_t twice_cut = std::int64_t{lattice_.cut_zero_um[i]} - highest_um[i] + finish.cut_zero_um -
                                           std::min(highest_um[i], finish.highest_um);
            offer(finish.cell, finish.micros + finish.dig_micros * std::max<std::int64_t>(0, twice_cut) / 2'000'000);
        }
    } else if ((set & (set - 1)) == 0) {
        for (const auto& start : problem.sources[static_cast<std::size_t>(std::countr_zero(set))].starts) {
            offer(start.cell, start.micros);
        }
    } else {
        merge_into(table, set);
    }
    spread(table);
    return table;
}

std::vector<std::int32_t> LeastTrees::cells_within(unsigned sources, std::int32_t limit_parts) const
{
    const unsigned others = (outlet_bit_ - 1) ^ sources;
    std::vector<std::int32_t> cells;
    for (int cell = 0; cell < lattice_.cells(); ++cell) {
        if (sum_of_parts(gathered_parts(sources, cell), rest_parts(others, cell)) <= limit_parts) {
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
            continue; // its other half holds the lowest
        }
        const Table& a = tables_[part];
        const Table& b = tables_[set ^ part];
        for (std::size_t cell = 0; cell < table.size(); ++cell) {
            table[cell] = std::min(table[cell], sum_of_parts(a[cell], b[cell]));
        }
    }
}

void LeastTrees::spread(Table& table) const
{
    std::int32_t least = far;
    for (const std::int32_t parts : step_parts_) {
        least = parts > 0 ? std::min(least, parts) : least;
    }
    BucketQueue queue(std::max<std::int32_t>(1, least == far ? 1 : least));
    for (std::size_t cell = 0; cell < table.size(); ++cell) {
        if (table[cell] != far) {
            queue.push(table[cell], static_cast<std::int32_t>(cell));
        }
    }
    while (const auto item = queue.pop()) {
        if (table[static_cast<std::size_t>(item->id)] != item->key) {
            continue;
        }
        for (int h = 0; h < lattice_.headings; ++h) {
            const std::int32_t step = step_parts_[lattice_.edge(item->id, h)];
            if (step < 0) {
                continue;
            }
            const int to = item->id + offset_[static_cast<std::size_t>(h)];
            const std::int32_t reached = sum_of_parts(static_cast<std::int32_t>(item->key), step);
            if (reached < table[static_cast<std::size_t>(to)]) {
                table[static_cast<std::size_t>(to)] = reached;
                queue.push(reached, to);
            }
        }
    }
}

} // namespace trenchwright
