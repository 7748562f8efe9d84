#include "trenchwright/plan/break_even.hpp"

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_state.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Rates are tried from nothing to this many times what they are.
constexpr double max_factor = 10;

struct Lever {
    std::string key;
    std::string name;
    double rate = 0; ///< likely, money per unit of `per`
    RatePer per = RatePer::each;
};

/// The kinds of item that either outlet has, each once.
std::vector<Lever> levers_of(const Estimate& a, const Estimate& b)
{
    std::vector<Lever> levers;
    for (const auto* made : {&a, &b}) {
        for (const auto& line : made->lines) {
            const bool known = std::ranges::any_of(levers, [&](const Lever& lever) { return lever.key == line.item; });
            if (!known && line.kind == LineKind::work && line.rate.likely > 0) {
                levers.push_back({.key = line.item, .name = line.name, .rate = line.rate.likely, .per = line.per});
            }
        }
    }
    return levers;
}

/// An outlet whose price is asked again and again with one rate changed.
struct Contender {
    const std::vector<Measured>& work;
    const RateBook& book;
    Cents fee_cents = 0;
};

Contender contender_of(const JobPlan& plan, const OutletOutcome& outcome)
{
    return {.work = outcome.estimate->work,
            .book = plan.job.rates,
            .fee_cents = plan.site.outlets[outcome.outlet].fee_cents};
}

/// Likely total with one kind of item at so many times its rate.
Cents total_with(const Contender& contender, const std::string& key, double factor)
{
    auto book = contender.book;
    auto& rate = book.items[key] = *rate_for(contender.book, key);
    rate.price = rate.price * factor;
    rate.hours = rate.hours * factor;
    return total_cents(estimate(contender.work, book, contender.fee_cents)).likely;
}

/// The factor at which the dearer one becomes the cheaper one; the difference runs straight, so there is one at most.
std::optional<double> turning_factor(const Contender& cheaper, const Contender& dearer, const std::string& key)
{
    const auto lead = [&](double factor) { return total_with(dearer, key, factor) - total_with(cheaper, key, factor); };
    for (const double far : {max_factor, 0.0}) {
        if (lead(far) >= 0) {
            continue;
        }
        double still = 1;
        double over = far;
        for (int i = 0; i < 40; ++i) {
            const double middle = (still + over) / 2;
            (lead(middle) >= 0 ? still : over) = middle;
        }
        return still;
    }
    return std::nullopt;
}

std::string sentence(const JobPlan& plan, const OutletOutcome& cheaper, const OutletOutcome& dearer, const Lever& lever,
                     double factor)
{
    const UnitSystem u = plan.job.rules.units;
    const double rate = lever.rate / quantity_in(1, lever.per, u);
    return fmt::format("{} stays cheaper than {} until \"{}\" {} {:.2f} {} per {} (now {:.2f}).",
                       plan.site.outlets[cheaper.outlet].name, plan.site.outlets[dearer.outlet].name, lever.name,
                       factor > 1 ? "exceeds" : "falls below", rate * factor, plan.job.rules.currency,
                       lever.per == RatePer::each ? "piece" : unit_of(lever.per, u), rate);
}

} // namespace

std::vector<std::string> break_even(const JobPlan& plan)
{
    std::vector<const OutletOutcome*> best;
    for (const auto& outcome : plan.outcomes) {
        if (state_of(outcome) == OutletState::works && outcome.estimate && best.size() < 2) {
            best.push_back(&outcome);
        }
    }
    if (best.size() < 2) {
        return {};
    }
    if (best[1]->total_cents < best[0]->total_cents) {
        std::swap(best[0], best[1]);
    }
    const auto cheaper = contender_of(plan, *best[0]);
    const auto dearer = contender_of(plan, *best[1]);
    std::vector<std::string> sentences;
    for (const auto& lever : levers_of(*best[0]->estimate, *best[1]->estimate)) {
        if (const auto factor = turning_factor(cheaper, dearer, lever.key)) {
            sentences.push_back(sentence(plan, *best[0], *best[1], lever, *factor));
        }
    }
    if (sentences.empty()) {
        sentences.push_back(fmt::format("{} stays cheaper than {} whatever one single rate is, from nothing to {:.0f} "
                                        "times what it is now.",
                                        plan.site.outlets[best[0]->outlet].name,
                                        plan.site.outlets[best[1]->outlet].name, max_factor));
    }
    return sentences;
}

} // namespace trenchwright
