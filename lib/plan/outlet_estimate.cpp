#include "plan/outlet_estimate.hpp"

#include "plan/plan.hpp"

namespace trenchwright {

namespace {

RatePer per_of(const std::string& unit)
{
    return unit == "m"    ? RatePer::length
           : unit == "m2" ? RatePer::area
           : unit == "m3" ? RatePer::volume
                          : RatePer::each;
}

EstimateLine line_of(const LineItem& item, const std::string& source)
{
    EstimateLine line;
    line.key = item.name;
    line.name = item.name;
    line.source = source;
    line.quantity = item.quantity;
    line.per = per_of(item.unit);
    line.rate = {.low = item.rate, .likely = item.rate, .high = item.rate};
    line.cents = {.low = item.cents, .likely = item.cents, .high = item.cents};
    return line;
}

/// By the settings' rates: one figure each, so the range has no width, and no hours.
Estimate by_settings(const JobPlan& plan, const OutletOutcome& outcome)
{
    Estimate made;
    for (const auto& by : outcome.by_source) {
        const auto& trench = std::get<TrenchPlan>(by);
        for (const auto& item : trench.price.items) {
            made.lines.push_back(line_of(item, plan.site.sources[trench.source].id));
        }
    }
    const double mobilisation = plan.job.rules.mobilisation;
    made.lines.push_back(line_of(
        {.name = "Mobilisation", .quantity = 1, .unit = "each", .rate = mobilisation, .cents = to_cents(mobilisation)},
        ""));
    EstimateTotal total{.fee = plan.site.outlets[outcome.outlet].fee_cents};
    for (const auto& line : made.lines) {
        total.lines += line.cents.likely;
    }
    made.low = made.likely = made.high = made.apart_low = made.apart_high = total;
    return made;
}

} // namespace

void add_estimates(JobPlan& plan)
{
    const auto& book = plan.job.rates;
    for (auto& outcome : plan.outcomes) {
        if (!outcome.works) {
            continue;
        }
        outcome.estimate = book.file.empty() ? by_settings(plan, outcome)
                                             : estimate(measured_work(plan, outcome), book,
                                                        plan.site.outlets[outcome.outlet].fee_cents);
        outcome.total_cents = outcome.estimate->likely.total();
    }
}

} // namespace trenchwright
