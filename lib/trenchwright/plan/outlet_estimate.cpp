#include "trenchwright/plan/outlet_estimate.hpp"

#include "trenchwright/plan/plan.hpp"

#include <algorithm>

namespace trenchwright {

PriceBasis price_basis(const JobPlan& plan)
{
    return {.site = plan.site, .rules = plan.job.rules, .book = plan.job.rates, .footing = plan.footing};
}

Estimate price_of(const PriceBasis& basis, const OutletOutcome& outcome, Paving paving)
{
    return estimate(measured_work(basis, outcome, paving), basis.book, basis.site.outlets[outcome.outlet].fee_cents);
}

void add_estimates(JobPlan& plan)
{
    for (auto& outcome : plan.outcomes) {
        if (outcome.works) {
            outcome.estimate = price_of(price_basis(plan), outcome);
            outcome.total_cents = total_cents(*outcome.estimate).likely;
        }
    }
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
