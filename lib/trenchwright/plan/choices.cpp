#include "trenchwright/plan/choices.hpp"

#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/lid.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/plan/pipe_load.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/plan/rank.hpp"
#include "trenchwright/plan/reach_pipes.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

void add_trench(Choice& choice, const TrenchPlan& trench)
{
    choice.length_m += trench.measured.quantities.length_m;
    choice.warnings += static_cast<std::size_t>(std::ranges::count_if(
        trench.findings, [](const Finding& finding) { return finding.severity != Severity::note; }));
    choice.ponds = choice.ponds || (trench.safety.aim && trench.safety.aim->target == AimTarget::stays_inside);
    if (trench.needs_fall()) {
        choice.spare_m = std::min(choice.spare_m.value_or(trench.laid.extra_fall_m), trench.laid.extra_fall_m);
    }
}

int pipe_step(const PipeLoad& load)
{
    switch (load.state) {
    case PipeLoadState::too_small: return 2;
    case PipeLoadState::not_known: return 1;
    case PipeLoadState::carries:
    case PipeLoadState::pumped: break;
    }
    return 0;
}

Choice choice_of(const Site& site, const OutletOutcome& outcome, const std::string& variant)
{
    const auto& outlet = site.outlets[outcome.outlet];
    Choice choice;
    choice.outlet = outcome.outlet;
    choice.variant = variant;
    choice.works = outcome.works;
    choice.stops = stops_of(outcome);
    choice.permission_step = permission_step(site, outlet);
    choice.lead_time_days = outlet.lead_time_days;
    for (const auto* trench : trenches_of(&outcome)) {
        add_trench(choice, *trench);
    }
    const auto dig = hand_dig(site, outcome);
    choice.hand_m = dig.known ? std::optional(dig.length_m) : std::nullopt;
    choice.min_hand_m = dig.length_m;
    choice.stands_full = stands_full(outcome, site);
    choice.pipe_step = pipe_step(pipe_load(outcome));
    if (outcome.estimate) {
        const auto& made = *outcome.estimate;
        choice.price = total_cents(made);
        choice.has_hours = !made.trade_hours.empty();
        choice.crew_hours = made.crew_hours;
    }
    if (outcome.uncertainty) {
        choice.error_m = outcome.uncertainty->fall.error_m;
        choice.drains_share = outcome.uncertainty->fall.drains_share;
    }
    return choice;
}

/// Lower is better in each; what is not known is worst.
std::array<double, 11> demerits(const Choice& choice)
{
    constexpr double worst = std::numeric_limits<double>::infinity();
    return {static_cast<double>(choice.price.likely),
            choice.has_hours ? choice.crew_hours.likely : worst,
            static_cast<double>(choice.permission_step),
            choice.lead_time_days.value_or(worst),
            choice.hand_m.value_or(worst),
            !choice.spare_m       ? 0
            : choice.drains_share ? 1 - *choice.drains_share
                                  : worst,
            static_cast<double>(choice.warnings),
            static_cast<double>(choice.stops),
            choice.stands_full ? 1.0 : 0.0,
            choice.ponds ? 1.0 : 0.0,
            static_cast<double>(choice.pipe_step)};
}

bool dominates(const Choice& a, const Choice& b)
{
    const auto bad_a = demerits(a);
    const auto bad_b = demerits(b);
    bool better = false;
    for (std::size_t i = 0; i < bad_a.size(); ++i) {
        if (bad_a.at(i) > bad_b.at(i)) {
            return false;
        }
        better = better || bad_a.at(i) < bad_b.at(i);
    }
    return better;
}

/// Rules of a variant, by name; none where it would be the job as planned.
struct Variant {
    std::string name;
    std::vector<RuleText> changes;
};

std::vector<Variant> variants_of(const Rules& rules)
{
    std::vector<Variant> variants;
    for (const std::string preset : {"yard practice", "standard"}) {
        if (rules.width_preset != preset) {
            variants.push_back({.name = preset + " width", .changes = {{"drain.width_preset", preset, ""}}});
        }
    }
    for (const auto& pipe : rules.water.pipes) {
        if (pipe.use && !same_pipe(rules.route.section.outside_diameter_m, pipe.outside_diameter_m)) {
            variants.push_back({.name = pipe.name, .changes = rules_of_pipe(pipe)});
        }
    }
    return variants;
}

/// The job with a variant's rules, priced by the same book: another pipe has a rate of its own there.
Job varied(const Job& job, const Variant& variant)
{
    Job other = job;
    other.rules.compare_variants = false;
    other.rules.cures.look = false; // a variant says whether it works, not what else would
    set_rules(other.rules, variant.changes);
    price_route_by_rates(other.rules, job.rates);
    return other;
}

/// Bored under the paving on the same routes, where the book has a rate for it; only the price changes.
std::vector<Choice> bored_choices(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes)
{
    std::vector<Choice> choices;
    if (!basis.job.rates.items.contains("sidewalk_bore")) {
        return choices;
    }
    for (const auto& outcome : outcomes) {
        if (!outcome.works) {
            continue;
        }
        const auto made = price_of(price_basis(basis), outcome, Paving::bored);
        if (std::ranges::find(made.work, "sidewalk_bore", &Measured::key) == made.work.end()) {
            continue;
        }
        auto choice = choice_of(basis.site, outcome, "paving bored");
        choice.price = total_cents(made);
        choice.crew_hours = made.crew_hours;
        choices.push_back(choice);
    }
    return choices;
}

std::vector<Choice> choices_of(const Site& site, const std::vector<OutletOutcome>& outcomes, const std::string& variant)
{
    std::vector<Choice> choices;
    for (const auto& outcome : outcomes) {
        choices.push_back(choice_of(site, outcome, variant));
    }
    return choices;
}

} // namespace

std::vector<Choice> choices_of(const JobPlan& plan, const std::string& variant)
{
    return choices_of(plan.site, plan.outcomes, variant);
}

void mark_dominated(std::vector<Choice>& choices, const std::vector<std::string>& names)
{
    for (auto& choice : choices) {
        const auto by = std::ranges::find_if(
            choices, [&](const Choice& other) { return other.works && choice.works && dominates(other, choice); });
        choice.dominated_by = by == choices.end() ? "" : fmt::format("{}, {}", names.at(by->outlet), by->variant);
    }
}

std::vector<Choice> compared(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes)
{
    auto choices = choices_of(basis.site, outcomes, "as planned");
    const auto add = [&](const std::vector<Choice>& more) { choices.insert(choices.end(), more.begin(), more.end()); };
    if (basis.job.rules.compare_variants) {
        add(bored_choices(basis, outcomes));
        for (const auto& variant : variants_of(basis.job.rules)) {
            add(choices_of(plan_site(basis.site, varied(basis.job, variant)), variant.name));
        }
    }
    std::vector<std::string> names;
    for (const auto& outlet : basis.site.outlets) {
        names.push_back(outlet.name);
    }
    mark_dominated(choices, names);
    return choices;
}

} // namespace trenchwright
