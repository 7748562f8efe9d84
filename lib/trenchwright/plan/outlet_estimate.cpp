#include "trenchwright/plan/outlet_estimate.hpp"

#include <algorithm>

namespace trenchwright {

PriceBasis price_basis(const PlanBasis& basis)
{
    return {.site = basis.site, .rules = basis.job.rules, .book = basis.job.rates, .footing = basis.footing};
}

Estimate price_of(const PriceBasis& basis, const OutletOutcome& outcome, Paving paving)
{
    return estimate(measured_work(basis, outcome, paving), basis.book, basis.site.outlets[outcome.outlet].fee_cents);
}

OutletOutcome with_estimate(OutletOutcome outcome, const PlanBasis& basis)
{
    if (outcome.works) {
        outcome.estimate = price_of(price_basis(basis), outcome);
        outcome.total_cents = total_cents(*outcome.estimate).likely;
    }
    return outcome;
}

const OutletOutcome* outcome_of(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto found = std::ranges::find(plan.outcomes, trench.outlet, &OutletOutcome::outlet);
    return found == plan.outcomes.end() ? nullptr : &*found;
}

std::optional<CentSpread> trench_price(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto* outcome = outcome_of(plan, trench);
    if (outcome == nullptr || !outcome->estimate) {
        return std::nullopt;
    }
    return trench_cents(*outcome->estimate, plan.site.sources[trench.source].id);
}

} // namespace trenchwright
