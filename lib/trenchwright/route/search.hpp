#pragma once

#include "trenchwright/route/lattice.hpp"

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <variant>
#include <vector>

namespace trenchwright {

/// Costs and inverts that are not there. They lie beyond every true one, so the least or the highest of several needs
/// no test for them.
constexpr std::int64_t unreachable_cost = std::numeric_limits<std::int64_t>::max(); ///< no way
constexpr std::int32_t unreached_um = std::numeric_limits<std::int32_t>::min();     ///< no pipe comes here
constexpr std::int32_t undrainable_um = std::numeric_limits<std::int32_t>::max();   ///< no pipe drains from here

/// A way from the true source to a lattice cell: one straight run, then on in `heading`.
struct Start {
    int cell = 0;
    int heading = 0;
    std::int64_t cost_micro = 0; ///< run, and the turn into the heading
    std::int32_t invert_um = 0;  ///< highest invert at the cell by this run
    friend bool operator==(const Start&, const Start&) = default;
};

/// A way from a lattice cell, arrived at in `heading`, to a true end.
struct Finish {
    int cell = 0;
    int heading = 0;
    int end = 0;                           ///< the caller's index
    std::int64_t cost_micro = 0;           ///< run and turn, without depth
    std::int64_t dig_cost_micro_per_m = 0; ///< per meter of mean cut
    double length_m = 0;
    std::int32_t fall_um = 0;     ///< least fall over the run
    std::int32_t cut_zero_um = 0; ///< at the end
    std::int32_t lowest_um = 0;   ///< inverts the end accepts, cover and depth limit included
    std::int32_t highest_um = 0;
    friend bool operator==(const Finish&, const Finish&) = default;
};

/// What is worked out where nothing drains.
enum class Explain {
    nothing, ///< NoPath says `blocked` whatever stands against it
    why,     ///< and no figures
    amount   ///< with place and figures
};

/// Lattice, ways in and ways out: one search.
struct SearchProblem {
    const Lattice& lattice;
    std::array<std::int32_t, 16> fall_um;     ///< per heading: the lattice's own, or less to look for candidates
    std::span<const std::int32_t> highest_um; ///< per cell: highest invert; the lattice's own, or eased near an outlet
    std::span<const Start> starts;
    std::span<const Finish> finishes;
    long long label_budget = 0;
    Explain explain = Explain::amount;
};

/// An optimal route over the lattice.
struct FoundPath {
    std::vector<int> cells; ///< from the start's cell to the finish's; every step's center
    std::size_t start = 0;  ///< index into the problem's starts
    std::size_t finish = 0;
    std::int64_t cost_micro = 0;
    std::int64_t gap_cost_micro = 0; ///< above the proven bound; 0 unless the budget ran out
    std::int32_t invert_um = 0;      ///< at the end
    long long labels = 0;
    friend bool operator==(const FoundPath&, const FoundPath&) = default;
};

/// Why there is none.
struct NoPath {
    enum class Why { blocked, falls_short, too_deep, budget } why = Why::blocked;
    std::int32_t short_um = 0; ///< missing fall, or cut beyond the limit
    int cell = -1;             ///< where it is missing, on the route that comes nearest
    double distance_m = 0;     ///< of that place from the end, along that route
    std::int32_t need_um = 0;  ///< lowest invert there that still drains
    std::int32_t end_um = 0;   ///< lowest invert the end of that route accepts
    int end = -1;
    long long labels = 0;
    friend bool operator==(const NoPath&, const NoPath&) = default;
};

/// The cheapest route that drains, over place, heading and invert together.
///
/// Downstream the invert is the highest that keeps the least fall and the cover:
/// inv' = min(inv - fall, highest'). A label is (cost, invert); it is dominated at the same cell and heading by one
/// with cost no higher and invert no lower, since a higher invert is never dearer and never drains worse.
/// Exact on the lattice unless the label budget runs out; then the best found and its proven gap, or
/// NoPath::Why::budget, which proves nothing.
std::variant<FoundPath, NoPath> cheapest_draining_path(const SearchProblem& problem);

/// Highest invert that can reach each cell; unreached_um where none can. Headings are ignored, so it is a bound.
/// @param deepened_um     the cut may be this much deeper
std::vector<std::int32_t> highest_reaching(const SearchProblem& problem, std::int32_t deepened_um = 0);

/// Lowest invert at each cell that can still reach an end; undrainable_um where none can. A bound likewise.
/// @param lowered_um      the ends accept inverts this much lower
/// @param deepened_um     the cut may be this much deeper
std::vector<std::int32_t> lowest_draining(const SearchProblem& problem, std::int32_t lowered_um,
                                          std::int32_t deepened_um);

/// Cost still to pay from each cell and heading, at the cuts that `highest` allows: never above the true rest.
/// unreachable_cost where no way leads to an end.
std::vector<std::int64_t> min_rest(const SearchProblem& problem, std::span<const std::int32_t> highest,
                                   std::span<const std::int32_t> need);

/// Cost of one step at the shallowest cuts there can be; the step must be there.
/// @param highest_um  per cell: no pipe lies higher
std::int64_t shallow_step_cost_micro(const Lattice& lattice, std::span<const std::int32_t> highest_um, int from, int to,
                                     int heading);

/// Width of buckets of money: about the cheapest step, so that few states are looked at twice; not so far below the
/// dearest that the buckets become many.
std::int64_t money_width(const Lattice& lattice);

/// Why nothing drains, as far as the problem asks for it. Call only when the search found nothing.
NoPath explain_no_path(const SearchProblem& problem);

} // namespace trenchwright
