#include "trenchwright/route/search.hpp"

#include "trenchwright/route/waiting.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

constexpr std::int64_t no_way = std::numeric_limits<std::int64_t>::max();
constexpr std::int32_t none_low = std::numeric_limits<std::int32_t>::min();

/// One way to be at a cell in a heading. `parent` < 0: -1 - index of the start.
struct Label {
    std::int64_t micros = 0;
    std::int32_t invert_um = 0;
    std::int32_t state = 0;
    std::int32_t parent = 0;
};

struct Step {
    int cell = -1;
    std::int64_t micros = 0;
    std::int32_t invert_um = 0;
};

class LabelSearch {
  public:
    LabelSearch(const SearchProblem& problem, std::vector<std::int32_t> need, std::vector<std::int64_t> rest,
                std::int32_t most_per_state)
        : problem_(problem), lattice_(problem.lattice), need_(std::move(need)), rest_(std::move(rest)),
          best_invert_(rest_.size(), none_low), most_per_state_(most_per_state)
    {
        if (most_per_state_ > 0) {
            kept_.assign(rest_.size(), 0);
        }
        index_finishes();
        for (std::size_t i = 0; i < problem.starts.size(); ++i) {
            const auto& start = problem.starts[i];
            const auto cell = static_cast<std::size_t>(start.cell);
            if (lattice_.open[cell] != 0) {
                const std::int32_t invert = std::min(start.invert_um, problem_.highest_um[cell]);
                offer(state_of(start.cell, start.heading), start.micros, invert, -1 - static_cast<std::int32_t>(i));
            }
        }
    }

    /// The optimum, or nothing when no label is left or the budget is spent.
    std::optional<FoundPath> run()
    {
        while (!queue_.empty()) {
            std::pop_heap(queue_.begin(), queue_.end(), later);
            const Waiting next = queue_.back();
            queue_.pop_back();
            if (next.finish >= 0) {
                return path_to(next);
            }
            if (!settle(next)) {
                continue;
            }
            expand(next.label);
            if (static_cast<long long>(labels_.size()) > problem_.label_budget) {
                spent_ = true;
                return std::nullopt;
            }
        }
        return std::nullopt;
    }

    [[nodiscard]] long long labels() const { return static_cast<long long>(labels_.size()); }
    [[nodiscard]] bool spent() const { return spent_; }
    /// Nothing still waiting can be cheaper.
    [[nodiscard]] std::int64_t proven_bound() const { return queue_.empty() ? no_way : queue_.front().bound; }

  private:
    [[nodiscard]] std::int32_t state_of(int cell, int heading) const { return cell * lattice_.headings + heading; }

    void index_finishes()
    {
        finish_from_.assign(rest_.size() + 1, 0);
        for (const auto& finish : problem_.finishes) {
            ++finish_from_[static_cast<std::size_t>(state_of(finish.cell, finish.heading)) + 1];
        }
        for (std::size_t i = 1; i < finish_from_.size(); ++i) {
            finish_from_[i] += finish_from_[i - 1];
        }
        finish_index_.resize(problem_.finishes.size());
        auto next = finish_from_;
        for (std::size_t i = 0; i < problem_.finishes.size(); ++i) {
            const auto& finish = problem_.finishes[i];
            finish_index_[static_cast<std::size_t>(
                next[static_cast<std::size_t>(state_of(finish.cell, finish.heading))]++)] =
                static_cast<std::int32_t>(i);
        }
    }

    void push(Waiting waiting)
    {
        queue_.push_back(waiting);
        std::push_heap(queue_.begin(), queue_.end(), later);
    }

    void offer(std::int32_t state, std::int64_t micros, std::int32_t invert, std::int32_t parent)
    {
        const auto i = static_cast<std::size_t>(state);
        const bool hopeless = rest_[i] == no_way || invert < need_[i / static_cast<std::size_t>(lattice_.headings)] ||
                              invert <= best_invert_[i];
        if (hopeless) {
            return;
        }
        labels_.push_back({.micros = micros, .invert_um = invert, .state = state, .parent = parent});
        push({.bound = micros + rest_[i], .invert_um = invert, .label = static_cast<std::int32_t>(labels_.size() - 1)});
    }

    /// Labels of one state come out by rising cost, so one is dominated when an earlier one was no lower.
    bool settle(const Waiting& waiting)
    {
        const auto state = static_cast<std::size_t>(labels_[static_cast<std::size_t>(waiting.label)].state);
        if (waiting.invert_um <= best_invert_[state]) {
            return false;
        }
        if (most_per_state_ > 0 && ++kept_[state] > most_per_state_) {
            return false;
        }
        best_invert_[state] = waiting.invert_um;
        return true;
    }

    /// One step on; cell -1 when it cannot be made or cannot drain from there.
    [[nodiscard]] Step stepped(const Step& from, int heading) const
    {
        const auto edge = static_cast<std::size_t>(state_of(from.cell, heading));
        if (lattice_.step_micros[edge] < 0) {
            return {};
        }
        const int cell = lattice_.stepped(from.cell, heading);
        const auto u = static_cast<std::size_t>(from.cell);
        const auto v = static_cast<std::size_t>(cell);
        const std::int32_t invert =
            std::min(from.invert_um - problem_.fall_um[static_cast<std::size_t>(heading)], problem_.highest_um[v]);
        if (invert < need_[v]) {
            return {};
        }
        const std::int64_t twice_cut =
            std::int64_t{lattice_.cut_zero_um[u]} - from.invert_um + lattice_.cut_zero_um[v] - invert;
        return {.cell = cell,
                .micros =
                    from.micros + lattice_.step_micros[edge] + lattice_.step_dig_micros[edge] * twice_cut / 2'000'000,
                .invert_um = invert};
    }

    void expand(std::int32_t index)
    {
        const Label label = labels_[static_cast<std::size_t>(index)];
        const int heading = label.state % lattice_.headings;
        const Step here{.cell = label.state / lattice_.headings, .micros = label.micros, .invert_um = label.invert_um};
        finish(index, here, label.state);
        if (const Step next = stepped(here, heading); next.cell >= 0) {
            offer(state_of(next.cell, heading), next.micros, next.invert_um, index);
        }
        for (int turn = 1; turn <= lattice_.headings / 4; ++turn) {
            const std::int64_t price = lattice_.turn_micros[static_cast<std::size_t>(turn)];
            if (price >= 0) {
                turn_into(index, here, (heading + turn) % lattice_.headings, price);
                turn_into(index, here, (heading + lattice_.headings - turn) % lattice_.headings, price);
            }
        }
    }

    void turn_into(std::int32_t index, Step step, int heading, std::int64_t price)
    {
        step.micros += price;
        for (int i = 0; i < lattice_.run_steps[static_cast<std::size_t>(heading)]; ++i) {
            step = stepped(step, heading);
            if (step.cell < 0) {
                return;
            }
        }
        offer(state_of(step.cell, heading), step.micros, step.invert_um, index);
    }

    void finish(std::int32_t index, const Step& here, std::int32_t state)
    {
        const auto first = finish_from_[static_cast<std::size_t>(state)];
        const auto last = finish_from_[static_cast<std::size_t>(state) + 1];
        for (auto i = first; i < last; ++i) {
            const std::int32_t which = finish_index_[static_cast<std::size_t>(i)];
            const auto& end = problem_.finishes[static_cast<std::size_t>(which)];
            const std::int32_t invert = std::min(here.invert_um - end.fall_um, end.highest_um);
            if (invert < end.lowest_um) {
                continue;
            }
            const std::int64_t twice_cut = std::int64_t{lattice_.cut_zero_um[static_cast<std::size_t>(here.cell)]} -
                                           here.invert_um + end.cut_zero_um - invert;
            push({.bound = here.micros + end.micros + end.dig_micros * twice_cut / 2'000'000,
                  .invert_um = invert,
                  .label = index,
                  .finish = which});
        }
    }

    [[nodiscard]] FoundPath path_to(const Waiting& last) const
    {
        FoundPath path{.cells = {},
                       .start = 0,
                       .finish = static_cast<std::size_t>(last.finish),
                       .micros = last.bound,
                       .invert_um = last.invert_um,
                       .labels = labels()};
        std::int32_t index = last.label;
        for (; index >= 0; index = labels_[static_cast<std::size_t>(index)].parent) {
            path.cells.push_back(labels_[static_cast<std::size_t>(index)].state / lattice_.headings);
            add_skipped_cells(path.cells, index);
        }
        path.start = static_cast<std::size_t>(-1 - index);
        std::reverse(path.cells.begin(), path.cells.end());
        return path;
    }

    /// The cells of a least straight run between a label and its parent, going up.
    void add_skipped_cells(std::vector<int>& cells, std::int32_t index) const
    {
        const Label& label = labels_[static_cast<std::size_t>(index)];
        if (label.parent < 0) {
            return;
        }
        const int heading = label.state % lattice_.headings;
        const int target = labels_[static_cast<std::size_t>(label.parent)].state / lattice_.headings;
        const int back = (heading + lattice_.headings / 2) % lattice_.headings;
        int cell = lattice_.stepped(label.state / lattice_.headings, back);
        while (cell != target) {
            cells.push_back(cell);
            cell = lattice_.stepped(cell, back);
        }
    }

    const SearchProblem& problem_;
    const Lattice& lattice_;
    std::vector<std::int32_t> need_;
    std::vector<std::int64_t> rest_;
    std::vector<std::int32_t> best_invert_; ///< per state, of the settled labels
    std::vector<std::int32_t> kept_;
    std::int32_t most_per_state_ = 0; ///< 0: no limit, exact
    std::vector<Label> labels_;
    std::vector<Waiting> queue_;
    std::vector<std::int32_t> finish_from_;
    std::vector<std::int32_t> finish_index_;
    bool spent_ = false;
};

/// When the budget is spent: a route by few labels a state, beside the bound the exact search had reached.
std::variant<FoundPath, NoPath> best_within_budget(const SearchProblem& problem, const std::vector<std::int32_t>& need,
                                                   const std::vector<std::int64_t>& rest, const LabelSearch& exact)
{
    constexpr std::int32_t few = 3;
    LabelSearch thrifty(problem, need, rest, few);
    const long long labels = exact.labels();
    if (auto path = thrifty.run()) {
        path->gap_micros = std::max<std::int64_t>(0, path->micros - exact.proven_bound());
        path->labels += labels;
        return *std::move(path);
    }
    return NoPath{.why = NoPath::Why::budget, .labels = labels + thrifty.labels()};
}

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
        return problem.explain ? explain_no_path(problem) : NoPath{};
    }
    const auto highest = highest_reaching(problem);
    const auto rest = least_rest(problem, highest, need);
    LabelSearch search(problem, need, rest, 0);
    if (auto path = search.run()) {
        return *std::move(path);
    }
    if (search.spent()) {
        return best_within_budget(problem, need, rest, search);
    }
    NoPath reason = problem.explain ? explain_no_path(problem) : NoPath{};
    reason.labels = search.labels();
    return reason;
}

} // namespace trenchwright
