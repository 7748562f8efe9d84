#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

namespace trenchwright {

namespace {

/// Deeper or lower than this nobody looks for an explanation: 30 m.
constexpr std::int32_t max_um = 30'000'000;

/// The start whose invert stands highest above what is needed at its cell; nothing when none reaches an end.
struct BestStart {
    const Start* start = nullptr;
    std::int64_t spare_um = 0;
};
BestStart best_start(const SearchProblem& problem, const std::vector<std::int32_t>& need)
{
    BestStart best;
    for (const auto& start : problem.starts) {
        const std::int32_t needed = need[static_cast<std::size_t>(start.cell)];
        const std::int64_t spare = std::int64_t{start.invert_um} - needed;
        if (needed != undrainable_um && (best.start == nullptr || spare > best.spare_um)) {
            best = {.start = &start, .spare_um = spare};
        }
    }
    return best;
}

/// A search whose ends take water lower and whose cuts may be deeper than asked: what each cell then needs.
struct Eased {
    std::int32_t lowered_um = 0;
    std::int32_t deepened_um = 0;
    std::vector<std::int32_t> need;
    BestStart best;
    [[nodiscard]] bool drains() const { return best.start != nullptr && best.spare_um >= 0; }
};
Eased eased(const SearchProblem& problem, std::int32_t lowered_um, std::int32_t deepened_um)
{
    Eased result{.lowered_um = lowered_um,
                 .deepened_um = deepened_um,
                 .need = lowest_draining(problem, lowered_um, deepened_um),
                 .best = {}};
    result.best = best_start(problem, result.need);
    return result;
}

/// The least fall that is missing, cuts being of any depth: by how far the highest pipe that comes to an end comes in too
/// low. Nothing where none comes to any.
std::optional<std::int32_t> missing_fall_um(const SearchProblem& problem)
{
    const auto highest = highest_reaching(problem, max_um);
    std::optional<std::int32_t> least;
    for (const auto& finish : problem.finishes) {
        const std::int32_t comes = highest[static_cast<std::size_t>(finish.cell)];
        if (comes != unreached_um) {
            const std::int32_t short_um = std::max(0, finish.lowest_um - std::min(comes - finish.fall_um, finish.highest_um));
            least = std::min(short_um, least.value_or(short_um));
        }
    }
    return least;
}

/// How much deeper cuts have to be, to a tenth of a millimeter, where it drains with cuts of any depth.
Eased least_deepened(const SearchProblem& problem)
{
    std::int32_t fails = 0;
    auto found = eased(problem, 0, max_um);
    while (found.deepened_um - fails > 100) {
        auto middle = eased(problem, 0, fails + (found.deepened_um - fails) / 2);
        if (middle.drains()) {
            found = std::move(middle);
        } else {
            fails = middle.deepened_um;
        }
    }
    return found;
}

/// The end that a cell drains to directly at its needed invert, or nothing.
const Finish* finish_at(const SearchProblem& problem, int cell, std::int32_t needed, std::int32_t lowered_um)
{
    for (const auto& finish : problem.finishes) {
        if (finish.cell == cell && finish.lowest_um - lowered_um + finish.fall_um <= needed) {
            return &finish;
        }
    }
    return nullptr;
}

/// Follows the needed inverts down from a start and notes the cell with the least room between need and cover.
struct Tightest {
    int cell = -1;
    std::int64_t room_um = std::numeric_limits<std::int64_t>::max();
    double from_start_m = 0;
    double length_m = 0;
    const Finish* finish = nullptr;
};
Tightest tightest_place(const SearchProblem& problem, const BestStart& best, const std::vector<std::int32_t>& need,
                        std::int32_t lowered_um)
{
    const Lattice& lattice = problem.lattice;
    Tightest result{.cell = best.start->cell, .room_um = best.spare_um};
    int cell = best.start->cell;
    const auto needed = [&](int c) { return need[static_cast<std::size_t>(c)]; };
    // Each step needs less invert than the last, so the walk ends; without any least fall it could go round.
    for (int steps = 0; steps < lattice.cells(); ++steps) {
        result.finish = finish_at(problem, cell, needed(cell), lowered_um);
        if (result.finish != nullptr) {
            break;
        }
        int next = -1;
        double step = 0;
        for (int h = 0; h < lattice.headings; ++h) {
            const auto edge = lattice.edge(cell, h);
            const int to = lattice.step_cost_micro[edge] >= 0 ? lattice.stepped(cell, h) : -1;
            const bool leads = to >= 0 && needed(to) != undrainable_um &&
                               needed(to) + problem.fall_um[static_cast<std::size_t>(h)] <= needed(cell);
            if (leads && (next < 0 || needed(to) < needed(next))) {
                next = to;
                step = lattice.step_m(h);
            }
        }
        if (next < 0) {
            break; // only when a depth limit, not the fall, set the need
        }
        cell = next;
        result.length_m += step;
        const std::int64_t room = std::int64_t{problem.highest_um[static_cast<std::size_t>(cell)]} - needed(cell);
        if (room < result.room_um) {
            result.room_um = room;
            result.cell = cell;
            result.from_start_m = result.length_m;
        }
    }
    return result;
}

NoPath located(const SearchProblem& problem, NoPath reason, const Eased& eased)
{
    const auto tight = tightest_place(problem, eased.best, eased.need, eased.lowered_um);
    reason.cell = tight.cell;
    reason.distance_m = tight.length_m - tight.from_start_m;
    reason.need_um = eased.need[static_cast<std::size_t>(tight.cell)] + eased.lowered_um;
    if (tight.finish != nullptr) {
        reason.distance_m += tight.finish->length_m;
        reason.end_um = tight.finish->lowest_um;
        reason.end = tight.finish->end;
    }
    return reason;
}

} // namespace

NoPath explain_no_path(const SearchProblem& problem)
{
    if (problem.explain == Explain::nothing) {
        return {};
    }
    const auto missing_um = missing_fall_um(problem);
    if (!missing_um) {
        return {.why = NoPath::Why::blocked};
    }
    const auto why = *missing_um > 0 ? NoPath::Why::falls_short : NoPath::Why::too_deep;
    if (problem.explain == Explain::why) {
        return {.why = why};
    }
    const auto least = *missing_um > 0 ? eased(problem, *missing_um, max_um) : least_deepened(problem);
    const std::int32_t short_um = *missing_um > 0 ? least.lowered_um : least.deepened_um;
    return located(problem, {.why = why, .short_um = short_um}, least);
}

} // namespace trenchwright
