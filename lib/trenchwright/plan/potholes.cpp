#include "trenchwright/plan/potholes.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

const TrenchPlan* trench_of(const OutletOutcome& outcome, std::size_t source)
{
    return std::get_if<TrenchPlan>(&outcome.by_source[source]);
}

/// How many trenches lie between this one and the outlet.
std::size_t joins_below(const OutletOutcome& outcome, const TrenchPlan* trench)
{
    std::size_t count = 0;
    while (trench != nullptr && trench->joins && count < outcome.by_source.size()) {
        trench = trench_of(outcome, trench->joins->source);
        ++count;
    }
    return count;
}

} // namespace

std::vector<Pothole> potholes(const OutletOutcome& outcome)
{
    std::vector<const TrenchPlan*> trenches;
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        if (const auto* trench = trench_of(outcome, i)) {
            trenches.push_back(trench);
        }
    }
    std::stable_sort(trenches.begin(), trenches.end(),
                     [&](const auto* a, const auto* b) { return joins_below(outcome, a) < joins_below(outcome, b); });
    std::vector<Pothole> holes;
    for (const auto* trench : trenches) {
        for (std::size_t i = 0; i < trench->measured.records.size(); ++i) {
            if (before_grade(trench->measured.records[i].exposing)) {
                holes.push_back({.trench = trench, .crossing = i});
            }
        }
    }
    return holes;
}

} // namespace trenchwright
