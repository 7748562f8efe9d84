#pragma once

#include "trenchwright/route/tree_search.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <functional>
#include <limits>
#include <span>
#include <vector>

namespace trenchwright {

/// Money in the tables of bounds: ten-thousandths of the currency unit (`cost_e4`), which halves the tables.
///
/// Always rounded down, and cut off at the top: a sum of parts is never above the true sum, so a bound stays one. Each
/// step and fitting is rounded for itself, so that no move lowers cost and bound together.
constexpr std::int64_t micro_per_e4 = 100;
constexpr std::int32_t unreachable_cost_e4 = std::numeric_limits<std::int32_t>::max();

/// Of an amount not below 0: the division goes toward 0, and it is asked for at every step.
inline std::int32_t to_cost_e4(std::int64_t cost_micro)
{
    return static_cast<std::int32_t>(std::min<std::int64_t>(cost_micro / micro_per_e4, unreachable_cost_e4 - 1));
}
/// Sum of two table values; unreachable when either is.
inline std::int32_t sum_e4(std::int32_t a, std::int32_t b)
{
    const std::int64_t sum = std::min<std::int64_t>(std::int64_t{a} + b, unreachable_cost_e4 - 1);
    return a == unreachable_cost_e4 || b == unreachable_cost_e4 ? unreachable_cost_e4 : static_cast<std::int32_t>(sum);
}
inline std::int64_t to_cost_micro(std::int32_t cost_e4)
{
    return cost_e4 == unreachable_cost_e4 ? unreachable_cost : cost_e4 * micro_per_e4;
}

/// How high the pipe that carries the water of a set of sources can lie, per cell; unreached_um where it cannot go.
using CeilingOf = std::function<std::vector<std::int32_t>(unsigned sources)>;

/// Cost from a finish's cell to its end, for a pipe that lies no higher than a ceiling at the cell.
std::int32_t finish_cost_e4(const Lattice& lattice, const Finish& finish, std::int32_t ceiling_um);

/// Costs of gathering sets of sources without headings, bends and fall, by dynamic programming over subsets
/// (Dreyfus and Wagner 1971; Erickson, Monma and Veinott 1987): exact, and a bound for the drain under fall.
///
/// A set is a word with bit i for source i.
class LeastTrees {
  public:
    /// @param ceiling_of  each set's pipe is dug to its own ceiling
    /// @param with_rest   work out rest_cost_e4 too, which takes as long again
    LeastTrees(const TreeProblem& problem, const CeilingOf& ceiling_of, bool with_rest);

    /// Cheapest tree that gathers the sources of a set at a cell.
    [[nodiscard]] std::int32_t gathered_cost_e4(unsigned sources, int cell) const
    {
        return tables_[sources][static_cast<std::size_t>(cell)];
    }
    /// Cheapest tree that joins a cell, the sources of a set and the outlet. Not for the set of all.
    [[nodiscard]] std::int32_t rest_cost_e4(unsigned sources, int cell) const
    {
        return tables_[sources | outlet_bit_][static_cast<std::size_t>(cell)];
    }
    /// Cells where the sources of a set may be gathered in a whole tree no dearer than a limit. Not for the empty set.
    [[nodiscard]] std::vector<std::int32_t> cells_within(unsigned sources, std::int32_t limit_cost_e4) const;
    /// Cheapest tree of all the sources and the outlet.
    [[nodiscard]] std::int32_t whole_cost_e4() const { return whole_cost_e4_; }

  private:
    using Table = std::vector<std::int32_t>;
    [[nodiscard]] Table table_of(const TreeProblem& problem, unsigned set,
                                 const std::vector<std::int32_t>& ceiling) const;
    void merge_into(Table& table, unsigned set) const;
    void spread(Table& table, bool downstream, const std::vector<std::int32_t>& ceiling) const;

    const Lattice& lattice_;
    std::array<int, 16> offset_{};
    std::int64_t bucket_cost_e4_ = 1;
    std::vector<Table> tables_; ///< per set of sources, and of the outlet as the last bit
    unsigned outlet_bit_ = 0;
    std::int32_t whole_cost_e4_ = 0;
};

/// How high the pipe that carries a set of sources can lie, per cell; unreached_um where it cannot go or not drain.
class Ceilings {
  public:
    explicit Ceilings(const TreeProblem& problem);

    [[nodiscard]] std::vector<std::int32_t> of(unsigned sources) const; ///< the lowest of its sources' ceilings
    /// Lowest invert at each cell from which gravity pipe can still reach an end.
    [[nodiscard]] std::span<const std::int32_t> need() const { return need_; }

  private:
    std::vector<std::vector<std::int32_t>> by_source_;
    std::vector<std::uint8_t> pressure_;
    std::vector<std::int32_t> need_;
};

/// The same with headings, bends and junctions and each set's own ceiling, still without the fall of the pipes that
/// join: what a gathered flow still has to pay. Looks no further than trees up to a limit.
class HeadedTrees {
  public:
    /// @param limit_cost_e4  whole drains dearer than this are of no interest
    HeadedTrees(const TreeProblem& problem, const Ceilings& ceilings, const LeastTrees& least,
                std::int32_t limit_cost_e4);

    /// From a cell and heading where the other sources' water is gathered: cost of gathering these too and reaching
    /// the outlet.
    [[nodiscard]] std::int32_t rest_cost_e4(unsigned sources, std::size_t state) const { return rest_[sources][state]; }
    /// No drain within the limit is cheaper.
    [[nodiscard]] std::int32_t whole_cost_e4() const;

  private:
    using Table = std::vector<std::int32_t>;
    struct Filled {
        Table table;
        std::vector<std::int32_t> states; ///< within reach
    };
    void fill_moves();
    void fill_steps(unsigned set);
    void fill_runs(unsigned set);
    [[nodiscard]] Table gather(unsigned set) const;
    [[nodiscard]] Table complete(unsigned set) const;
    [[nodiscard]] Table ends(const std::vector<std::int32_t>& ceiling) const;
    void meet(Table& table, unsigned met, unsigned set) const;
    [[nodiscard]] Table after_joining(const Table& rest, unsigned set) const;
    /// Dijkstra from what the table holds at the cells of a set, no further than the limit less what has to be paid
    /// `elsewhere` of a cell. What a table holds at other cells belongs to drains beyond the limit.
    template <class Elsewhere, class Moves>
    void spread(Table& table, unsigned set, Elsewhere elsewhere, Moves moves) const;
    void spread_down(Table& table, unsigned set) const;
    void spread_up(Table& table, unsigned set) const;
    void keep(unsigned set, Table table);
    [[nodiscard]] int cell_of(std::int32_t state) const { return state >> heading_bits_; }
    [[nodiscard]] int heading_of(std::int32_t state) const { return state & (lattice_.headings - 1); }

    /// A heading to the side and the junction's price.
    struct Side {
        int heading = 0;
        std::int32_t cost_e4 = 0;
    };

    const TreeProblem& problem_;
    const Lattice& lattice_;
    const Ceilings& ceilings_;
    const LeastTrees& least_;
    std::int32_t limit_ = 0;
    unsigned all_ = 0;
    int heading_bits_ = 3;
    std::vector<std::vector<std::int32_t>> cells_; ///< per set: the cells within the limit, rising
    std::vector<std::int32_t> step_;               ///< per cell and heading, at the ceiling of the set in hand; -1 none
    std::vector<std::int32_t> run_;                ///< a least straight run from the cell in the heading
    std::array<int, 16> offset_{};
    std::array<int, 16> run_offset_{};
    std::array<std::int32_t, 9> turn_{};
    std::array<std::vector<Side>, 16> sides_; ///< per heading: those from which a branch may come in
    std::int64_t bucket_cost_e4_ = 1;
    std::vector<Filled> gathered_; ///< per set
    std::vector<Table> rest_;      ///< per set still to gather
    std::vector<Table> joined_;    ///< the same from a junction, over the straight run below it
};

} // namespace trenchwright
