#pragma once

#include "trenchwright/route/moves.hpp"
#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

/// The search that finds a path and a drain alike: best first over labels, which carry cost and invert.
namespace trenchwright {

constexpr std::int32_t no_label = -1;
constexpr std::int32_t no_start = -1;
constexpr std::int32_t no_finish = -1;

/// One way to be at a cell in a heading. What a search keeps besides is derived from this.
struct SearchLabel {
    std::int64_t cost_micro = 0;
    std::int32_t invert_um = 0;
    std::int32_t state = 0;         ///< cell and heading, as Lattice::edge counts them
    std::int32_t parent = no_label; ///< the same trench further up
    std::int32_t start = no_start;  ///< the caller's index of the way in, where the trench begins
};

/// What carries a label's water: between which inverts it may lie, and whether it must fall.
struct Pipe {
    std::span<const std::int32_t> highest_um; ///< per cell
    std::span<const std::int32_t> lowest_um;  ///< per cell: lower drains nowhere or cannot be dug
    bool pressure = false;                    ///< lies as high as it may, whatever it comes from
};

/// A label that waits in the heap, or a whole way to an end.
struct Waiting {
    std::int64_t bound_cost_micro = 0; ///< with the least that is still to pay
    std::int32_t invert_um = 0;        ///< at the label, or at the end
    std::int32_t label = no_label;
    std::int32_t finish = no_finish; ///< index of the end
};

/// The heap's order: least bound first; then the higher invert, which makes a lower one at the same state and cost
/// needless before it is spread; then the older label, so that runs repeat.
inline bool lower_priority(const Waiting& a, const Waiting& b)
{
    if (a.bound_cost_micro != b.bound_cost_micro) {
        return a.bound_cost_micro > b.bound_cost_micro;
    }
    if (a.invert_um != b.invert_um) {
        return a.invert_um < b.invert_um;
    }
    return a.label > b.label;
}

/// The ways out by the state they leave from, in the caller's order.
class FinishIndex {
  public:
    FinishIndex(const Lattice& lattice, std::span<const Finish> finishes)
        : first_(lattice.step_cost_micro.size() + 1), index_(finishes.size())
    {
        for (const auto& finish : finishes) {
            ++first_[lattice.edge(finish.cell, finish.heading) + 1];
        }
        for (std::size_t i = 1; i < first_.size(); ++i) {
            first_[i] += first_[i - 1];
        }
        auto next = first_;
        for (std::size_t i = 0; i < finishes.size(); ++i) {
            const auto place = next[lattice.edge(finishes[i].cell, finishes[i].heading)]++;
            index_[static_cast<std::size_t>(place)] = static_cast<std::int32_t>(i);
        }
    }

    [[nodiscard]] std::span<const std::int32_t> at(std::int32_t state) const
    {
        const auto i = static_cast<std::size_t>(state);
        return std::span(index_).subspan(static_cast<std::size_t>(first_[i]),
                                         static_cast<std::size_t>(first_[i + 1] - first_[i]));
    }

  private:
    std::vector<std::int32_t> first_; ///< per state, and one past the last
    std::vector<std::int32_t> index_;
};

/// One source's trench, read back from its labels.
struct Traced {
    std::vector<int> cells; ///< every step's center, from the start's cell down
    std::int32_t first = no_label;
};

/// Label setting over place, heading and invert: whole ways to an end come out by rising cost.
///
/// `Task` says what is searched for. It has the types `Problem` (with lattice, fall_um, finishes and label_budget) and
/// `Label` (derived from SearchLabel), and
///
///     static constexpr bool starts_run_straight     a start's label may only go straight on, for a least run
///     std::int64_t rest_cost_micro(label)           still to pay: never above the truth, the same for alike labels,
///                                                   and no move lowers it by more than the move costs;
///                                                   unreachable_cost: no way
///     Pipe pipe(label)
///     std::int32_t& best_invert_um(label)           the highest settled of those alike; unreached_um at first
///     bool settled(label&, index, cell)             told of each label that is settled; false turns it down
///     bool is_whole(label)                          may go out through a finish
///     void clear_joint(label&)                      a label copied for going on forgets what joined it
///     void join_others(search, index, label)        offers what comes of joining other labels at its cell
///
/// Labels are alike that can go on in the same ways: of one state and, in a drain, of the same sources.
template <class Task> class LabelSetting {
  public:
    using Problem = typename Task::Problem;
    using Label = typename Task::Label;

    LabelSetting(const Problem& problem, Task task)
        : problem_(problem), lattice_(problem.lattice), task_(std::move(task)), offset_(cell_offsets(lattice_)),
          heading_bits_(std::countr_zero(static_cast<unsigned>(lattice_.headings))),
          finishes_(lattice_, problem.finishes)
    {
    }

    /// A way in, if it is neither closed nor too low.
    void enter(Label label)
    {
        const Pipe pipe = task_.pipe(label);
        const auto cell = static_cast<std::size_t>(cell_of(label));
        label.invert_um = std::min(label.invert_um, pipe.highest_um[cell]);
        if (lattice_.open[cell] != 0 && label.invert_um >= pipe.lowest_um[cell]) {
            offer(label);
        }
    }

    /// The cheapest whole way, or nothing when no label is left or the budget is spent.
    std::optional<Waiting> run()
    {
        while (!queue_.empty()) {
            const Waiting next = popped();
            if (next.finish != no_finish) {
                // A whole way's bound is its cost. What still waits has no lower bound and so leads to no lower cost.
                return next;
            }
            if (!settle(next.label)) {
                continue;
            }
            expand(next.label);
            // Only after spreading: then every way still open has a label in the heap, and its top proves a bound.
            if (labels() > problem_.label_budget) {
                spent_ = true;
                return std::nullopt;
            }
        }
        return std::nullopt;
    }

    /// Offers a label where it comes to after some steps straight on, if it can make them.
    void offer_after(Label at, int heading, int steps)
    {
        if (advance(at, heading, steps)) {
            offer(at);
        }
    }

    [[nodiscard]] long long labels() const { return static_cast<long long>(labels_.size()); }
    [[nodiscard]] bool spent() const { return spent_; }
    /// Nothing still waiting can be cheaper.
    [[nodiscard]] std::int64_t proven_bound() const
    {
        return queue_.empty() ? unreachable_cost : queue_.front().bound_cost_micro;
    }
    [[nodiscard]] const Label& label(std::int32_t index) const { return labels_[static_cast<std::size_t>(index)]; }
    [[nodiscard]] int cell_of(const SearchLabel& label) const { return label.state >> heading_bits_; }
    [[nodiscard]] int heading_of(const SearchLabel& label) const { return label.state & (lattice_.headings - 1); }

    /// The trench that ends at a label; calls each(label) for all but its first, going up.
    template <class Each> [[nodiscard]] Traced traced(std::int32_t index, Each each) const
    {
        Traced trench;
        while (label(index).parent != no_label) {
            add_cells_up_to_parent(trench.cells, label(index));
            each(label(index));
            index = label(index).parent;
        }
        trench.cells.push_back(cell_of(label(index)));
        trench.first = index;
        std::reverse(trench.cells.begin(), trench.cells.end());
        return trench;
    }

  private:
    Waiting popped()
    {
        std::pop_heap(queue_.begin(), queue_.end(), lower_priority);
        const Waiting next = queue_.back();
        queue_.pop_back();
        return next;
    }

    void push(const Waiting& waiting)
    {
        queue_.push_back(waiting);
        std::push_heap(queue_.begin(), queue_.end(), lower_priority);
    }

    void offer(const Label& label)
    {
        const std::int64_t rest = task_.rest_cost_micro(label);
        // Dominated already: settle() would turn it down too, but here it costs no place in the heap.
        if (rest == unreachable_cost || label.invert_um <= task_.best_invert_um(label)) {
            return;
        }
        labels_.push_back(label);
        push({.bound_cost_micro = label.cost_micro + rest,
              .invert_um = label.invert_um,
              .label = static_cast<std::int32_t>(labels_.size()) - 1});
    }

    /// Such a label can do less than others of its state: it must put none of them aside, and nothing joins it.
    [[nodiscard]] static bool is_held_straight(const Label& label)
    {
        return Task::starts_run_straight && label.start != no_start;
    }

    /// False when a label settled before dominates this one: no dearer and no lower, at the same place and heading.
    ///
    /// Whatever the lower label can do, the higher can: each rule takes a fall off an invert or cuts it at a height,
    /// which keeps two inverts in order, and a higher invert is never dearer to dig. Cost needs no look: alike
    /// labels have the same still to pay and no move lowers cost and rest together, so they come out by rising cost.
    bool settle(std::int32_t index)
    {
        Label& label = labels_[static_cast<std::size_t>(index)];
        if (is_held_straight(label)) {
            return true;
        }
        std::int32_t& best = task_.best_invert_um(label);
        if (label.invert_um <= best || !task_.settled(label, index, static_cast<std::size_t>(cell_of(label)))) {
            return false;
        }
        best = label.invert_um;
        return true;
    }

    void expand(std::int32_t index)
    {
        const Label label = labels_[static_cast<std::size_t>(index)]; // a copy: what is offered may move the labels
        const int heading = heading_of(label);
        const auto run_steps = [&](int h) { return lattice_.run_steps[static_cast<std::size_t>(h)]; };
        if (task_.is_whole(label)) {
            finish(index, label);
        }
        if (is_held_straight(label)) {
            go(index, label, heading, 0, run_steps(heading));
            return;
        }
        task_.join_others(*this, index, label);
        go(index, label, heading, 0, 1);
        for_turned(lattice_.headings, heading, [&](std::size_t turn, int into) {
            if (const std::int64_t price = lattice_.turn_cost_micro[turn]; price >= 0) {
                go(index, label, into, price, run_steps(into));
            }
        });
    }

    void go(std::int32_t parent, const Label& from, int heading, std::int64_t price, int steps)
    {
        Label at = from;
        at.cost_micro += price;
        at.parent = parent;
        at.start = no_start;
        task_.clear_joint(at);
        offer_after(at, heading, steps);
    }

    /// False where a step is missing or leads too low.
    ///
    /// Of all inverts a pipe may have after a step only the highest is kept: it dominates the rest. A turn is taken
    /// together with its least straight run, so that a label need not know how far back its last turn is.
    [[nodiscard]] bool advance(Label& at, int heading, int steps) const
    {
        const Pipe pipe = task_.pipe(at);
        const auto h = static_cast<std::size_t>(heading);
        int cell = cell_of(at);
        for (int i = 0; i < steps; ++i) {
            const std::size_t edge = lattice_.edge(cell, heading);
            if (lattice_.step_cost_micro[edge] < 0) {
                return false;
            }
            const auto u = static_cast<std::size_t>(cell);
            cell += offset_[h]; // a step that is there stays on the lattice and leads to an open cell
            const auto v = static_cast<std::size_t>(cell);
            const std::int32_t highest = pipe.highest_um[v];
            const std::int32_t invert = pipe.pressure ? highest : std::min(at.invert_um - problem_.fall_um[h], highest);
            if (invert < pipe.lowest_um[v]) {
                return false;
            }
            // Twice the mean cut is whole; half of it would round here and once more in the cost.
            const std::int64_t twice_cut =
                std::int64_t{lattice_.cut_zero_um[u]} - at.invert_um + lattice_.cut_zero_um[v] - invert;
            at.cost_micro +=
                lattice_.step_cost_micro[edge] + dig_cost_micro(lattice_.step_dig_cost_micro_per_m[edge], twice_cut);
            at.invert_um = invert;
        }
        at.state = static_cast<std::int32_t>(lattice_.edge(cell, heading));
        return true;
    }

    void finish(std::int32_t index, const Label& here)
    {
        for (const std::int32_t which : finishes_.at(here.state)) {
            const Finish& end = problem_.finishes[static_cast<std::size_t>(which)];
            const std::int32_t fall = task_.pipe(here).pressure ? 0 : end.fall_um;
            const std::int32_t invert = std::min(here.invert_um - fall, end.highest_um);
            if (invert < end.lowest_um) {
                continue;
            }
            const std::int64_t twice_cut = std::int64_t{lattice_.cut_zero_um[static_cast<std::size_t>(cell_of(here))]} -
                                           here.invert_um + end.cut_zero_um - invert;
            push({.bound_cost_micro =
                      here.cost_micro + end.cost_micro + dig_cost_micro(end.dig_cost_micro_per_m, twice_cut),
                  .invert_um = invert,
                  .label = index,
                  .finish = which});
        }
    }

    /// A label's cell and those of the straight run up to its parent, without the parent's.
    void add_cells_up_to_parent(std::vector<int>& cells, const Label& from) const
    {
        const int target = cell_of(label(from.parent));
        const int offset = offset_[static_cast<std::size_t>(heading_of(from))];
        for (int cell = cell_of(from); cell != target; cell -= offset) {
            cells.push_back(cell);
        }
    }

    const Problem& problem_;
    const Lattice& lattice_;
    Task task_;
    std::array<int, 16> offset_;
    int heading_bits_ = 3;
    FinishIndex finishes_;
    std::vector<Label> labels_;
    std::vector<Waiting> queue_;
    bool spent_ = false;
};

} // namespace trenchwright
