#include "trenchwright/route/search.hpp"

#include <algorithm>
#include <limits>

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

bool drains(const SearchProblem& problem, std::int32_t lowered_um, std::int32_t deepened_um)
{
    const auto best = best_start(problem, lowest_draining(problem, lowered_um, deepened_um));
    return best.start != nullptr && best.spare_um >= 0;
}

/// Least amount, to a tenth of a millimeter, at which the test turns true; nothing up to the most.
template <class Test> std::optional<std::int32_t> min_amount(Test test)
{
    if (!test(max_um)) {
        return std::nullopt;
    }
    std::int32_t low = 0;
    std::int32_t high = max_um;
    while (high - low > 100) {
        const std::int32_t middle = low + (high - low) / 2;
        (test(middle) ? high : low) = middle;
    }
    return high;
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

NoPath located(const SearchProblem& problem, NoPath reason, std::int32_t lowered_um, std::int32_t deepened_um)
{
    const auto need = lowest_draining(problem, lowered_um, deepened_um);
    const auto best = best_start(problem, need);
    const auto tight = tightest_place(problem, best, need, lowered_um);
    reason.cell = tight.cell;
    reason.distance_m = tight.length_m - tight.from_start_m;
    reason.need_um = need[static_cast<std::size_t>(tight.cell)] + lowered_um;
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
    if (!drains(problem, max_um, max_um)) {
        return {.why = NoPath::Why::blocked};
    }
    // The depth limit alone: would it drain if the trench might be deeper?
    if (drains(problem, 0, max_um)) {
        const auto deeper = min_amount([&](std::int32_t um) { return drains(problem, 0, um); });
        return located(problem, {.why = NoPath::Why::too_deep, .short_um = deeper.value_or(max_um)}, 0,
                       deeper.value_or(max_um));
    }
    const auto missing = min_amount([&](std::int32_t um) { return drains(problem, um, max_um); });
    return located(problem, {.why = NoPath::Why::falls_short, .short_um = missing.value_or(max_um)},
                   missing.value_or(max_um), max_um);
}

} // namespace trenchwright
