#include "trenchwright/route/tree_search.hpp"

#include "trenchwright/route/label_setting.hpp"
#include "trenchwright/route/least_trees.hpp"

#include <algorithm>
#include <bit>
#include <utility>

namespace trenchwright {

namespace {

/// The water of a set of sources at a cell and heading.
struct TreeLabel : SearchLabel {
    std::int32_t branch = no_label;       ///< the trench that joins here
    std::int32_t next_at_cell = no_label; ///< settled before, of the same sources
    unsigned sources = 0;
};

/// Labels for every set of sources; two whose sets have no source in common join where they meet.
class TreeTask {
  public:
    using Problem = TreeProblem;
    using Label = TreeLabel;
    using Search = LabelSetting<TreeTask>;
    static constexpr bool starts_run_straight = true;

    TreeTask(const Problem& problem, const Ceilings& ceilings, const HeadedTrees& trees)
        : problem_(problem), need_(ceilings.need()), trees_(trees), all_((1U << problem.sources.size()) - 1),
          best_invert_(all_ + 1), last_at_cell_(all_ + 1)
    {
    }

    /// The tables come from the search's own moves and joints, so no move within their limit lowers cost and rest
    /// together. Labels beyond it may come out early, but belong to no drain that is taken.
    [[nodiscard]] std::int64_t rest_cost_micro(const Label& label) const
    {
        return to_cost_micro(trees_.rest_cost_e4(all_ & ~label.sources, static_cast<std::size_t>(label.state)));
    }

    [[nodiscard]] Pipe pipe(const Label& label) const
    {
        if (is_pressure(problem_, label.sources)) {
            return {
                .highest_um = problem_.pressure_highest_um, .lowest_um = problem_.lattice.lowest_um, .pressure = true};
        }
        return {.highest_um = problem_.highest_um, .lowest_um = need_};
    }

    std::int32_t& best_invert_um(const Label& label)
    {
        auto& best = best_invert_[label.sources];
        if (best.empty()) {
            best.assign(problem_.lattice.step_cost_micro.size(), unreached_um);
        }
        return best[static_cast<std::size_t>(label.state)];
    }

    /// Keeps it for others to join. Those it dominates are never missed there: it does for their joints too.
    bool settled(Label& label, std::int32_t index, std::size_t cell)
    {
        auto& last = last_at_cell_[label.sources];
        if (last.empty()) {
            last.assign(problem_.lattice.open.size(), no_label);
        }
        label.next_at_cell = std::exchange(last[cell], index);
        return true;
    }

    [[nodiscard]] bool is_whole(const Label& label) const { return label.sources == all_; }
    static void clear_joint(Label& label) { label.branch = no_label; }

    /// Each pair meets once, when the second of the two is settled; either may be the trunk.
    void join_others(Search& search, std::int32_t index, const Label& label) const
    {
        const auto cell = static_cast<std::size_t>(search.cell_of(label));
        const unsigned others = all_ & ~label.sources;
        for (unsigned sources = others; sources != 0; sources = (sources - 1) & others) {
            const auto& last = last_at_cell_[sources];
            for (std::int32_t other = last.empty() ? no_label : last[cell]; other != no_label;) {
                const Label met = search.label(other); // a copy: what is offered may move the labels
                join(search, index, label, other, met);
                join(search, other, met, index, label);
                other = met.next_at_cell;
            }
        }
    }

  private:
    /// `branch` comes into `trunk`, which goes straight on for a least run.
    void join(Search& search, std::int32_t trunk_index, const Label& trunk, std::int32_t branch_index,
              const Label& branch) const
    {
        const int headings = problem_.lattice.headings;
        const int heading = search.heading_of(trunk);
        const int apart = std::abs(heading - search.heading_of(branch));
        const std::int64_t price =
            problem_.junction.cost_micro[static_cast<std::size_t>(std::min(apart, headings - apart))];
        if (price < 0 || is_pressure(problem_, trunk.sources)) {
            return;
        }
        Label joined = trunk;
        joined.cost_micro += branch.cost_micro + price;
        joined.invert_um =
            std::min(trunk.invert_um, branch.invert_um - rise_um(branch)); // never lower for a higher one
        joined.parent = trunk_index;
        joined.branch = branch_index;
        joined.sources = trunk.sources | branch.sources;
        if (joined.invert_um >= need_[static_cast<std::size_t>(search.cell_of(joined))]) {
            search.offer_after(joined, heading, problem_.lattice.run_steps[static_cast<std::size_t>(heading)]);
        }
    }

    [[nodiscard]] std::int32_t rise_um(const Label& branch) const
    {
        return is_pressure(problem_, branch.sources) ? problem_.junction.pressure_rise_um : problem_.junction.rise_um;
    }

    const Problem& problem_;
    std::span<const std::int32_t> need_;
    const HeadedTrees& trees_;
    unsigned all_;
    std::vector<std::vector<std::int32_t>> best_invert_;  ///< per set and state, of the settled labels
    std::vector<std::vector<std::int32_t>> last_at_cell_; ///< per set and cell, the label settled last
};

void enter_sources(LabelSetting<TreeTask>& search, const TreeProblem& problem)
{
    for (std::size_t source = 0; source < problem.sources.size(); ++source) {
        const auto& starts = problem.sources[source].starts;
        for (std::size_t i = 0; i < starts.size(); ++i) {
            TreeLabel label;
            label.cost_micro = starts[i].cost_micro;
            label.invert_um = starts[i].invert_um;
            label.state = static_cast<std::int32_t>(problem.lattice.edge(starts[i].cell, starts[i].heading));
            label.start = static_cast<std::int32_t>(i);
            label.sources = 1U << source;
            search.enter(label);
        }
    }
}

/// Reads a whole drain back from its last label, trench by trench.
FoundTree tree_of(const LabelSetting<TreeTask>& search, const Waiting& last, std::size_t sources)
{
    FoundTree tree{.branches = std::vector<TreeBranch>(sources),
                   .finish = static_cast<std::size_t>(last.finish),
                   .cost_micro = last.bound_cost_micro,
                   .invert_um = last.invert_um,
                   .labels = search.labels()};
    std::vector<std::pair<std::int32_t, int>> open{{last.label, -1}}; // lowest label, the source it joins
    while (!open.empty()) {
        const auto [lowest, joins] = open.back();
        open.pop_back();
        std::vector<std::int32_t> met;
        Traced trench = search.traced(lowest, [&](const TreeLabel& label) {
            if (label.branch != no_label) {
                met.push_back(label.branch);
            }
        });
        const TreeLabel& first = search.label(trench.first);
        const int source = std::countr_zero(first.sources); // a start has one
        for (const std::int32_t branch : met) {
            open.emplace_back(branch, source);
        }
        tree.branches[static_cast<std::size_t>(source)] = {
            .cells = std::move(trench.cells), .start = static_cast<std::size_t>(first.start), .joins = joins};
    }
    return tree;
}

std::variant<FoundTree, NoTree> search_within(const TreeProblem& problem, const Ceilings& ceilings,
                                              const HeadedTrees& trees)
{
    LabelSetting<TreeTask> search(problem, TreeTask(problem, ceilings, trees));
    enter_sources(search, problem);
    if (const auto last = search.run()) {
        return tree_of(search, *last, problem.sources.size());
    }
    return NoTree{.budget = search.spent(), .labels = search.labels()};
}

/// Drains cost little more than their bound: enough for a few bends, the junctions and the lattice's own headings. On
/// the demo lot they come 5 to 21 % above it.
std::int32_t first_limit_cost_e4(const TreeProblem& problem, std::int32_t whole_cost_e4)
{
    constexpr std::int64_t headings_share = 6; // one part in so many
    std::int64_t bend = 0;
    for (const std::int64_t cost_micro : problem.lattice.turn_cost_micro) {
        bend = std::max(bend, cost_micro);
    }
    for (const std::int64_t cost_micro : problem.junction.cost_micro) {
        bend = std::max(bend, cost_micro);
    }
    const auto fittings = static_cast<std::int64_t>(2 * problem.sources.size());
    return sum_e4(whole_cost_e4, to_cost_e4(to_cost_micro(whole_cost_e4) / headings_share + fittings * bend));
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
    if (least.whole_cost_e4() == unreachable_cost_e4) {
        return NoTree{};
    }
    NoTree none;
    TreeProblem left = problem;
    constexpr std::int32_t unlimited = unreachable_cost_e4 - 1; // sums stop there, so nothing lies beyond
    for (std::int32_t limit = first_limit_cost_e4(problem, least.whole_cost_e4());;) {
        const HeadedTrees trees(problem, ceilings, least, limit);
        auto outcome = search_within(left, ceilings, trees);
        auto* tree = std::get_if<FoundTree>(&outcome);
        none.labels += tree != nullptr ? tree->labels : std::get<NoTree>(outcome).labels;
        none.budget = tree == nullptr && std::get<NoTree>(outcome).budget;
        // What the tables left out belongs to drains dearer than the limit: one found within it is the cheapest of all.
        if (tree != nullptr && (limit == unlimited || tree->cost_micro <= to_cost_micro(limit))) {
            tree->bound_cost_micro = to_cost_micro(trees.whole_cost_e4());
            tree->labels = none.labels;
            return outcome;
        }
        if (none.budget || limit == unlimited) {
            return none;
        }
        // A drain beyond the limit is a true one all the same: the cheapest costs no more. The 1 makes up for the
        // fraction.
        limit = tree != nullptr ? to_cost_e4(tree->cost_micro) + 1 : unlimited;
        left.label_budget = problem.label_budget - none.labels;
    }
}

} // namespace trenchwright
