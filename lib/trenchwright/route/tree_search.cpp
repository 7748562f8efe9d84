#include "trenchwright/route/least_trees.hpp"
#include "trenchwright/route/waiting.hpp"

#include <algorithm>
#include <bit>
#include <limits>
#include <utility>

namespace trenchwright {

namespace {

constexpr std::int64_t no_way = std::numeric_limits<std::int64_t>::max();
constexpr std::int32_t none_low = std::numeric_limits<std::int32_t>::min();
constexpr std::int32_t nothing = -1;

/// The water of a set of sources at a cell and heading.
struct Label {
    std::int64_t micros = 0;
    std::int32_t invert_um = 0;
    std::int32_t state = 0;
    std::int32_t parent = nothing;       ///< the same trench further up
    std::int32_t branch = nothing;       ///< the trench that joins here
    std::int32_t start = nothing;        ///< index into its source's starts, where it begins
    std::int32_t next_at_cell = nothing; ///< settled before, of the same sources
    unsigned sources = 0;
};

class TreeSearch {
  public:
    TreeSearch(const TreeProblem& problem, const Ceilings& ceilings, const HeadedTrees& trees)
        : problem_(problem), lattice_(problem.lattice), need_(ceilings.need()), trees_(trees),
          all_((1U << problem.sources.size()) - 1), best_invert_(all_ + 1), last_at_cell_(all_ + 1)
    {
        for (std::size_t i = 0; i < problem.finishes.size(); ++i) {
            const auto& finish = problem.finishes[i];
            finishes_at_.emplace_back(lattice_.edge(finish.cell, finish.heading), static_cast<std::int32_t>(i));
        }
        std::sort(finishes_at_.begin(), finishes_at_.end());
        for (std::size_t source = 0; source < problem.sources.size(); ++source) {
            for (std::size_t i = 0; i < problem.sources[source].starts.size(); ++i) {
                const auto& start = problem.sources[source].starts[i];
                Label label{.micros = start.micros,
                            .invert_um = start.invert_um,
                            .state = static_cast<std::int32_t>(lattice_.edge(start.cell, start.heading)),
                            .start = static_cast<std::int32_t>(i),
                            .sources = 1U << source};
                label.invert_um =
                    std::min(label.invert_um, highest_of(label.sources)[static_cast<std::size_t>(start.cell)]);
                offer(label);
            }
        }
    }

    std::variant<FoundTree, NoTree> run()
    {
        while (!queue_.empty()) {
            std::pop_heap(queue_.begin(), queue_.end(), later);
            const Waiting next = queue_.back();
            queue_.pop_back();
            if (next.finish != nothing) {
                return tree_of(next);
            }
            if (!settle(next.label)) {
                continue;
            }
            expand(next.label);
            if (static_cast<long long>(labels_.size()) > problem_.label_budget) {
                return NoTree{.budget = true, .labels = static_cast<long long>(labels_.size())};
            }
        }
        return NoTree{.budget = false, .labels = static_cast<long long>(labels_.size())};
    }

  private:
    [[nodiscard]] bool is_pressure(unsigned sources) const { return trenchwright::is_pressure(problem_, sources); }

    [[nodiscard]] std::span<const std::int32_t> highest_of(unsigned sources) const
    {
        return is_pressure(sources) ? problem_.pressure_highest_um : problem_.highest_um;
    }

    [[nodiscard]] std::size_t cell_of(const Label& label) const
    {
        return static_cast<std::size_t>(label.state / lattice_.headings);
    }

    /// Cost still to pay, at least.
    [[nodiscard]] std::int64_t rest_of(const Label& label) const
    {
        return micros_of(trees_.rest_parts(all_ & ~label.sources, static_cast<std::size_t>(label.state)));
    }

    /// Too low to drain or to be dug.
    [[nodiscard]] bool sunk(std::size_t cell, std::int32_t invert_um, bool pressure) const
    {
        return invert_um < (pressure ? lattice_.lowest_um[cell] : need_[cell]) || lattice_.open[cell] == 0;
    }

    void offer(const Label& label)
    {
        auto& best = best_invert_[label.sources];
        if (best.empty()) {
            best.assign(lattice_.step_micros.size(), none_low);
        }
        const std::int64_t rest = rest_of(label);
        const bool dominated = label.invert_um <= best[static_cast<std::size_t>(label.state)];
        if (rest == no_way || dominated || sunk(cell_of(label), label.invert_um, is_pressure(label.sources))) {
            return;
        }
        labels_.push_back(label);
        push({.bound = label.micros + rest,
              .invert_um = label.invert_um,
              .label = static_cast<std::int32_t>(labels_.size()) - 1});
    }

    void push(const Waiting& waiting)
    {
        queue_.push_back(waiting);
        std::push_heap(queue_.begin(), queue_.end(), later);
    }

    /// Still at the bend behind its source's first run, where no other fitting has room.
    [[nodiscard]] static bool is_fresh(const Label& label) { return label.start != nothing; }

    /// False when a label settled before is no dearer and no lower.
    bool settle(std::int32_t index)
    {
        Label& label = labels_[static_cast<std::size_t>(index)];
        if (is_fresh(label)) {
            return true;
        }
        auto& best = best_invert_[label.sources][static_cast<std::size_t>(label.state)];
        if (label.invert_um <= best) {
            return false;
        }
        best = label.invert_um;
        auto& last_at_cell = last_at_cell_[label.sources];
        if (last_at_cell.empty()) {
            last_at_cell.assign(lattice_.open.size(), nothing);
        }
        label.next_at_cell = std::exchange(last_at_cell[cell_of(label)], index);
        return true;
    }

    void expand(std::int32_t index)
    {
        const Label label = labels_[static_cast<std::size_t>(index)];
        const int heading = label.state % lattice_.headings;
        if (label.sources == all_) {
            finish(index, label);
        }
        if (is_fresh(label)) {
            go(index, label, heading, 0, lattice_.run_steps[static_cast<std::size_t>(heading)]);
            return;
        }
        join_others(index, label);
        go(index, label, heading, 0, 1);
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int64_t price = lattice_.turn_micros[static_cast<std::size_t>(turn)];
            for (const int into : {heading + turn, heading + lattice_.headings - turn}) {
                const int to = into % lattice_.headings;
                if (price >= 0) {
                    go(index, label, to, price, lattice_.run_steps[static_cast<std::size_t>(to)]);
                }
            }
        }
    }

    /// Some steps straight on in a heading; the label there is offered.
    void go(std::int32_t parent, const Label& from, int heading, std::int64_t price, int steps)
    {
        Label at = from;
        at.micros += price;
        at.parent = parent;
        at.branch = nothing;
        at.start = nothing;
        if (advance(at, heading, steps)) {
            offer(at);
        }
    }

    [[nodiscard]] bool advance(Label& at, int heading, int steps) const
    {
        const bool pressure = is_pressure(at.sources);
        const auto highest = highest_of(at.sources);
        auto cell = static_cast<int>(cell_of(at));
        for (int i = 0; i < steps; ++i) {
            const std::size_t edge = lattice_.edge(cell, heading);
            if (lattice_.step_micros[edge] < 0) {
                return false;
            }
            const int to = lattice_.stepped(cell, heading);
            const auto u = static_cast<std::size_t>(cell);
            const auto v = static_cast<std::size_t>(to);
            const std::int32_t fallen = at.invert_um - problem_.fall_um[static_cast<std::size_t>(heading)];
            const std::int32_t invert = pressure ? highest[v] : std::min(fallen, highest[v]);
            const std::int64_t twice_cut =
                std::int64_t{lattice_.cut_zero_um[u]} - at.invert_um + lattice_.cut_zero_um[v] - invert;
            at.micros += lattice_.step_micros[edge] + lattice_.step_dig_micros[edge] * twice_cut / 2'000'000;
            at.invert_um = invert;
            cell = to;
            if (sunk(v, invert, pressure)) {
                return false;
            }
        }
        at.state = static_cast<std::int32_t>(lattice_.edge(cell, heading));
        return true;
    }

    void join_others(std::int32_t index, const Label& label)
    {
        const unsigned others = all_ & ~label.sources;
        for (unsigned sources = others; sources != 0; sources = (sources - 1) & others) {
            const auto& last = last_at_cell_[sources];
            for (std::int32_t other = last.empty() ? nothing : last[cell_of(label)]; other != nothing;) {
                const Label met = labels_[static_cast<std::size_t>(other)];
                join(index, label, other, met);
                join(other, met, index, label);
                other = met.next_at_cell;
            }
        }
    }

    /// `branch` comes into `trunk`, which goes straight on for a least run.
    void join(std::int32_t trunk_index, const Label& trunk, std::int32_t branch_index, const Label& branch)
    {
        const int heading = trunk.state % lattice_.headings;
        const int apart = std::abs(heading - branch.state % lattice_.headings);
        const int turn = std::min(apart, lattice_.headings - apart);
        const std::int64_t price = problem_.junction.micros[static_cast<std::size_t>(turn)];
        if (price < 0 || is_pressure(trunk.sources)) {
            return;
        }
        const std::int32_t rise =
            is_pressure(branch.sources) ? problem_.junction.pressure_rise_um : problem_.junction.rise_um;
        Label joined = trunk;
        joined.micros += branch.micros + price;
        joined.invert_um = std::min(trunk.invert_um, branch.invert_um - rise);
        joined.parent = trunk_index;
        joined.branch = branch_index;
        joined.start = nothing;
        joined.sources = trunk.sources | branch.sources;
        if (!sunk(cell_of(joined), joined.invert_um, false) &&
            advance(joined, heading, lattice_.run_steps[static_cast<std::size_t>(heading)])) {
            offer(joined);
        }
    }

    void finish(std::int32_t index, const Label& here)
    {
        const auto state = static_cast<std::size_t>(here.state);
        auto at = std::lower_bound(finishes_at_.begin(), finishes_at_.end(), std::pair{state, std::int32_t{0}});
        for (; at != finishes_at_.end() && at->first == state; ++at) {
            const auto& end = problem_.finishes[static_cast<std::size_t>(at->second)];
            const std::int32_t fall = is_pressure(here.sources) ? 0 : end.fall_um;
            const std::int32_t invert = std::min(here.invert_um - fall, end.highest_um);
            if (invert >= end.lowest_um) {
                const std::int64_t twice_cut =
                    std::int64_t{lattice_.cut_zero_um[cell_of(here)]} - here.invert_um + end.cut_zero_um - invert;
                push({.bound = here.micros + end.micros + end.dig_micros * twice_cut / 2'000'000,
                      .invert_um = invert,
                      .label = index,
                      .finish = at->second});
            }
        }
    }

    [[nodiscard]] FoundTree tree_of(const Waiting& last) const
    {
        FoundTree tree{.branches = std::vector<TreeBranch>(problem_.sources.size()),
                       .finish = static_cast<std::size_t>(last.finish),
                       .micros = last.bound,
                       .invert_um = last.invert_um,
                       .labels = static_cast<long long>(labels_.size())};
        std::vector<std::pair<std::int32_t, int>> open{{last.label, -1}}; // label, the source it joins
        while (!open.empty()) {
            const auto [label, joins] = open.back();
            open.pop_back();
            trace(label, joins, tree, open);
        }
        return tree;
    }

    /// One source's trench from its lower end up; the branches met on the way are left to do.
    void trace(std::int32_t lowest, int joins, FoundTree& tree, std::vector<std::pair<std::int32_t, int>>& open) const
    {
        TreeBranch branch{.cells = {}, .start = 0, .joins = joins};
        std::vector<std::int32_t> met;
        std::int32_t index = lowest;
        for (;;) {
            const Label& label = labels_[static_cast<std::size_t>(index)];
            branch.cells.push_back(static_cast<int>(cell_of(label)));
            if (label.parent == nothing) {
                break;
            }
            add_skipped_cells(branch.cells, label);
            if (label.branch != nothing) {
                met.push_back(label.branch);
            }
            index = label.parent;
        }
        const Label& first = labels_[static_cast<std::size_t>(index)];
        branch.start = static_cast<std::size_t>(first.start);
        std::reverse(branch.cells.begin(), branch.cells.end());
        int source = 0;
        while ((first.sources >> source) != 1U) {
            ++source;
        }
        for (const std::int32_t other : met) {
            open.emplace_back(other, source);
        }
        tree.branches[static_cast<std::size_t>(source)] = std::move(branch);
    }

    /// The cells of a straight run between a label and its parent, going up.
    void add_skipped_cells(std::vector<int>& cells, const Label& label) const
    {
        const int heading = label.state % lattice_.headings;
        const auto target = static_cast<int>(cell_of(labels_[static_cast<std::size_t>(label.parent)]));
        const int back = (heading + lattice_.headings / 2) % lattice_.headings;
        for (int cell = lattice_.stepped(cells.back(), back); cell != target; cell = lattice_.stepped(cell, back)) {
            cells.push_back(cell);
        }
    }

    const TreeProblem& problem_;
    const Lattice& lattice_;
    std::span<const std::int32_t> need_;
    const HeadedTrees& trees_;
    unsigned all_;
    std::vector<std::vector<std::int32_t>> best_invert_;  ///< per set and state, of the settled labels
    std::vector<std::vector<std::int32_t>> last_at_cell_; ///< per set and cell, the label settled last
    std::vector<Label> labels_;
    std::vector<Waiting> queue_;
    std::vector<std::pair<std::size_t, std::int32_t>> finishes_at_;
};

/// Drains cost little more than their bound: enough for a few bends, the junctions and the lattice's own headings. On
/// the demo lot they come 5 to 21 % above it.
std::int32_t first_limit_parts(const TreeProblem& problem, std::int32_t whole_parts)
{
    constexpr std::int64_t headings_share = 6; // one part in so many
    std::int64_t bend = 0;
    for (const std::int64_t micros : problem.lattice.turn_micros) {
        bend = std::max(bend, micros);
    }
    for (const std::int64_t micros : problem.junction.micros) {
        bend = std::max(bend, micros);
    }
    const auto fittings = static_cast<std::int64_t>(2 * problem.sources.size());
    return sum_of_parts(whole_parts, parts_of(micros_of(whole_parts) / headings_share + fittings * bend));
}

} // namespace

bool is_pressure(const TreeProblem& problem, unsigned sources)
{
    return std::has_single_bit(sources) &&
           problem.sources[static_cast<std::size_t>(std::countr_zero(sources))].pressure;
}

std::variant<FoundTree, NoTree> cheapest_draining_tree(const TreeProblem& problem)
{
    const Ceilings ceilings(problem);
    const LeastTrees least(problem, [&](unsigned sources) { return ceilings.of(sources); }, true);
    if (least.whole_parts() == out_of_reach) {
        return NoTree{};
    }
    NoTree none;
    TreeProblem left = problem;
    constexpr std::int32_t unlimited = out_of_reach - 1;
    for (std::int32_t limit = first_limit_parts(problem, least.whole_parts());;) {
        const HeadedTrees trees(problem, ceilings, least, limit);
        auto outcome = TreeSearch(left, ceilings, trees).run();
        auto* tree = std::get_if<FoundTree>(&outcome);
        none.labels += tree != nullptr ? tree->labels : std::get<NoTree>(outcome).labels;
        none.budget = tree == nullptr && std::get<NoTree>(outcome).budget;
        if (tree != nullptr && (limit == unlimited || tree->micros <= micros_of(limit))) {
            tree->bound_micros = micros_of(trees.whole_parts());
            tree->labels = none.labels;
            return outcome;
        }
        if (none.budget || limit == unlimited) {
            return none;
        }
        limit = tree != nullptr ? parts_of(tree->micros) + 1 : unlimited;
        left.label_budget = problem.label_budget - none.labels;
    }
}

} // namespace trenchwright
