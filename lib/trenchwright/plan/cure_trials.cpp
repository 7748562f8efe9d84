#include "trenchwright/plan/cure_trials.hpp"

#include "trenchwright/plan/shared.hpp"
#include "trenchwright/plan/trench.hpp"

#include <algorithm>

namespace trenchwright {

CureTrials::Changed CureTrials::changed(const Change& change) const
{
    Changed made{.site = std::shared_ptr<const Site>(std::shared_ptr<const Site>(), &basis_.site),
                 .rules = basis_.rules};
    if (change.site || change.pumped) {
        auto site = std::make_shared<Site>(basis_.site);
        if (change.site) {
            change.site(*site);
        }
        if (change.pumped) {
            site->sources[source_].kind = SourceKind::pump;
        }
        made.site = std::move(site);
    }
    if (change.rules) {
        change.rules(made.rules);
    }
    made.rules.min_extra_fall_m = 0;
    made.rules.route.polish = change.thorough;
    return made;
}

std::variant<TrenchPlan, Refusal> CureTrials::tried(const Change& change) const
{
    const auto made = changed(change);
    const auto own =
        change.lattices_hold ? nullptr : std::make_unique<const RoutePreps>(*made.site, ground_, made.rules);
    const auto& preps = own ? *own : preps_;
    if (!change.pumped) {
        return plan_trench(preps, *made.site, ground_, made.rules, source_, outlet_);
    }
    auto pressed = plan_pressure(preps, *made.site, ground_, made.rules, source_, outlet_);
    if (auto* why = std::get_if<std::string>(&pressed)) {
        return Refusal{.kind = RefusalKind::blocked,
                       .text = std::move(*why),
                       .at = std::nullopt,
                       .station_m = std::nullopt,
                       .short_by_m = std::nullopt};
    }
    return std::get<TrenchPlan>(std::move(pressed));
}

std::optional<TrenchPlan> CureTrials::planned(const Change& change) const
{
    auto outcome = tried(change);
    auto* trench = std::get_if<TrenchPlan>(&outcome);
    return trench != nullptr ? std::optional(std::move(*trench)) : std::nullopt;
}

CentSpread CureTrials::price(const TrenchPlan& trench, const Change& change) const
{
    const auto made = changed(change);
    const PriceBasis basis{.site = *made.site, .rules = made.rules, .book = basis_.book, .footing = basis_.footing};
    OutletOutcome alone;
    alone.outlet = outlet_;
    alone.by_source.resize(made.site->sources.size(), Refusal{});
    alone.by_source[source_] = trench;
    const auto priced = price_of(basis, alone);
    return trench_cents(priced, made.site->sources[source_].id);
}

double cure_step_m(UnitSystem units)
{
    return units == UnitSystem::us ? 0.1 * inch_in_m : 0.001;
}

int least_steps(int guess, int most, const std::function<bool(int)>& holds)
{
    int fails = 0;
    int found = 0;
    const int first = std::clamp(guess, 1, std::max(1, most));
    if (most < 1) {
        return 0;
    }
    if (holds(first)) {
        found = first;
        // A good guess is confirmed one step below it; else the strides grow.
        for (int stride = 1; found - stride > fails; stride *= 2) {
            if (!holds(found - stride)) {
                fails = found - stride;
                break;
            }
            found -= stride;
        }
    } else {
        fails = first;
        for (const int tried : {first + 2, first + 8, most}) {
            if (tried > fails && tried <= most && found == 0) {
                (holds(tried) ? found : fails) = tried;
            }
        }
    }
    if (found == 0) {
        return 0;
    }
    while (found - fails > 1) {
        const int middle = fails + (found - fails) / 2;
        (holds(middle) ? found : fails) = middle;
    }
    return found;
}

} // namespace trenchwright
