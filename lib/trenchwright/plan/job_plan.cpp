#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

std::vector<const TrenchPlan*> trenches_of(const OutletOutcome* outcome)
{
    std::vector<const TrenchPlan*> trenches;
    for (std::size_t i = 0; outcome != nullptr && i < outcome->by_source.size(); ++i) {
        if (const auto* trench = std::get_if<TrenchPlan>(&outcome->by_source[i])) {
            trenches.push_back(trench);
        }
    }
    return trenches;
}

const TrenchPlan& trunk_of(const OutletOutcome& outcome, const TrenchPlan& trench)
{
    return trench.joins ? trunk_of(outcome, std::get<TrenchPlan>(outcome.by_source.at(trench.joins->source))) : trench;
}

} // namespace trenchwright
