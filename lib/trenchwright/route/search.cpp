#include "trenchwright/route/search.hpp"

#include "trenchwright/route/label_setting.hpp"

#include <algorithm>
#include <span>
#include <utility>

namespace trenchwright {

namespace {

/// A label for every way to be at a cell and heading; one source, so nothing joins.
class PathTask {
  public:
    using Problem = SearchProblem;
    using Label = SearchLabel;
    static constexpr bool starts_run_straight = false;

    /// @param max_per_state  0: no limit, exact
    PathTask(const Problem& problem, std::span<const std::int32_t> need, std::span<const std::int64_t> rest,
             std::int32_t max_per_state)
        : highest_um_(problem.highest_um), need_(need), rest_(rest), best_invert_(rest.size(), unreached_um),
          kept_(max_per_state > 0 ? rest.size() : 0), max_per_state_(max_per_state)
    {
    }

    [[nodiscard]] std::int64_t rest_cost_micro(const Label& label) const { return rest_[at(label)]; }
    [[nodiscard]] Pipe pipe(const Label& /*label*/) const { return {.highest_um = highest_um_, .lowest_um = need_}; }
    std::int32_t& best_invert_um(const Label& label) { return best_invert_[at(label)]; }
    /// With a limit the later labels of a state are lost, which are the dearer and higher ones: a way found is still a
    /// way at its true cost, but need not be the cheapest, and none found proves nothing.
    bool settled(const Label& label, std::int32_t /*index*/, std::size_t /*cell*/)
    {
        return max_per_state_ == 0 || ++kept_[at(label)] <= max_per_state_;
    }
    [[nodiscard]] static bool is_whole(const Label& /*label*/) { return true; }
    static void clear_joint(Label& /*label*/) {}
    static void join_others(LabelSetting<PathTask>& /*search*/, std::int32_t /*index*/, const Label& /*label*/) {}

  private:
    static std::size_t at(const Label& label) { return static_cast<std::size_t>(label.state); }

    std::span<const std::int32_t> highest_um_;
    std::span<const std::int32_t> need_;
    std::span<const std::int64_t> rest_;
    std::vector<std::int32_t> best_invert_; ///< per state, of the settled labels
    std::vector<std::int32_t> kept_;
    std::int32_t max_per_state_ = 0;
};

class PathSearch {
  public:
    PathSearch(const SearchProblem& problem, std::span<const std::int32_t> need, std::span<const std::int64_t> rest,
               std::int32_t max_per_state)
        : search_(problem, PathTask(problem, need, rest, max_per_state))
    {
        for (std::size_t i = 0; i < problem.starts.size(); ++i) {
            const Start& start = problem.starts[i];
            search_.enter({.cost_micro = start.cost_micro,
                           .invert_um = start.invert_um,
                           .state = static_cast<std::int32_t>(problem.lattice.edge(start.cell, start.heading)),
                           .start = static_cast<std::int32_t>(i)});
        }
    }

    /// The optimum, or nothing when no label is left or the budget is spent.
    std::optional<FoundPath> run()
    {
        const auto last = search_.run();
        if (!last) {
            return std::nullopt;
        }
        Traced trench = search_.traced(last->label, [](const SearchLabel&) {});
        return FoundPath{.cells = std::move(trench.cells),
                         .start = static_cast<std::size_t>(search_.label(trench.first).start),
                         .finish = static_cast<std::size_t>(last->finish),
                         .cost_micro = last->bound_cost_micro,
                         .invert_um = last->invert_um,
                         .labels = search_.labels()};
    }

    [[nodiscard]] const LabelSetting<PathTask>& search() const { return search_; }

  private:
    LabelSetting<PathTask> search_;
};

/// When the budget is spent: a route by few labels a state, beside the bound the exact search had reached.
std::variant<FoundPath, NoPath> best_within_budget(const SearchProblem& problem, const std::vector<std::int32_t>& need,
                                                   const std::vector<std::int64_t>& rest,
                                                   const LabelSetting<PathTask>& exact)
{
    constexpr std::int32_t few = 3;
    PathSearch thrifty(problem, need, rest, few);
    const long long labels = exact.labels();
    if (auto path = thrifty.run()) {
        path->gap_cost_micro = std::max<std::int64_t>(0, path->cost_micro - exact.proven_bound());
        path->labels += labels;
        return *std::move(path);
    }
    return NoPath{.why = NoPath::Why::budget, .labels = labels + thrifty.search().labels()};
}

/// False proves that nothing drains: `need` allows every turn, so no true way does with less.
bool any_start_drains(const SearchProblem& problem, const std::vector<std::int32_t>& need)
{
    return std::any_of(problem.starts.begin(), problem.starts.end(), [&](const Start& start) {
        const auto cell = static_cast<std::size_t>(start.cell);
        return std::min(start.invert_um, problem.highest_um[cell]) >= need[cell];
    });
}

} // namespace

std::variant<FoundPath, NoPath> cheapest_draining_path(const SearchProblem& problem)
{
    const auto need = lowest_draining(problem, 0, 0);
    if (!any_start_drains(problem, need)) {
        return explain_no_path(problem);
    }
    const auto highest = highest_reaching(problem);
    const auto rest = min_rest(problem, highest, need);
    PathSearch exact(problem, need, rest, 0);
    if (auto path = exact.run()) {
        return *std::move(path);
    }
    if (exact.search().spent()) {
        return best_within_budget(problem, need, rest, exact.search());
    }
    NoPath reason = explain_no_path(problem);
    reason.labels = exact.search().labels();
    return reason;
}

} // namespace trenchwright
