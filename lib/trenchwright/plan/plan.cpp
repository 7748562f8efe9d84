#include "trenchwright/plan/plan.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/plan/choices.hpp"
#include "trenchwright/plan/cures.hpp"
#include "trenchwright/plan/inside.hpp"
#include "trenchwright/plan/job_findings.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/pump_check.hpp"
#include "trenchwright/plan/rank.hpp"
#include "trenchwright/plan/safety.hpp"
#include "trenchwright/plan/shared.hpp"
#include "trenchwright/plan/site_checks.hpp"
#include "trenchwright/plan/supplied.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/plan/water.hpp"
#include "trenchwright/plan/yard.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <mutex>
#include <tbb/parallel_for.h>

namespace trenchwright {

namespace {

bool works(const OutletOutcome& outcome)
{
    return std::all_of(outcome.by_source.begin(), outcome.by_source.end(),
                       [](const auto& by) { return std::holds_alternative<TrenchPlan>(by); });
}

/// A pump's discharge line may climb, so a pump that cannot reach the outlet by gravity may still join a trench that
/// does.
bool may_share(const OutletOutcome& outcome, const Site& site)
{
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        const auto* refusal = std::get_if<Refusal>(&outcome.by_source[i]);
        const bool pump = site.sources[i].kind == SourceKind::pump;
        if (refusal != nullptr && (!pump || refusal->kind == RefusalKind::not_permitted)) {
            return false;
        }
    }
    return outcome.by_source.size() > 1;
}

/// Where all sources reach the outlet, one drain for them all, unless trenches of their own are cheaper.
void share_trenches(OutletOutcome& outcome, const RoutePreps& preps, const PriceBasis& basis, const Ground& ground)
{
    const auto& site = basis.site;
    if (!may_share(outcome, site)) {
        return;
    }
    const auto easing = easing_of(trenches_of(&outcome), basis.rules);
    auto shared = plan_shared(preps, site, ground, basis.rules, outcome.outlet, easing);
    if (const auto* why = std::get_if<std::string>(&shared)) {
        outcome.why_not_shared = *why;
        return;
    }
    OutletOutcome drain;
    drain.outlet = outcome.outlet;
    drain.one_drain = true;
    for (auto& trench : std::get<std::vector<TrenchPlan>>(shared)) {
        drain.by_source.emplace_back(std::move(trench));
    }
    const auto likely = [&](const OutletOutcome& way) { return total_cents(price_of(basis, way)).likely; };
    const Cents dearer = works(outcome) ? likely(drain) - likely(outcome) : 0;
    if (dearer <= 0) {
        outcome = std::move(drain);
    } else {
        outcome.why_not_shared = fmt::format("one drain would cost {} more", money_text(dearer));
    }
}

/// One source to one outlet. A pump that gravity does not serve may climb to the outlet under pressure.
std::variant<TrenchPlan, Refusal> plan_alone(const RoutePreps& preps, const Site& site, const Ground& ground,
                                             const Rules& rules, std::size_t source, std::size_t outlet)
{
    auto by_gravity = plan_trench(preps, site, ground, rules, source, outlet);
    auto* refusal = std::get_if<Refusal>(&by_gravity);
    const bool lies_low =
        refusal != nullptr && (refusal->kind == RefusalKind::falls_short || refusal->kind == RefusalKind::too_deep);
    if (!lies_low || site.sources[source].kind != SourceKind::pump) {
        return by_gravity;
    }
    auto climbing = plan_pressure(preps, site, ground, rules, source, outlet);
    if (const auto* why = std::get_if<std::string>(&climbing)) {
        refusal->text += fmt::format(". Under pressure: {}", *why);
        return by_gravity;
    }
    auto& trench = std::get<TrenchPlan>(climbing);
    trench.findings.push_back(
        finding(Severity::note, "sources",
                fmt::format("Gravity does not serve here: {}. So the pump's discharge line stays under "
                            "pressure to the outlet.",
                            refusal->text)));
    return std::move(trench);
}

/// Tells how many outlets are planned, from whichever thread finishes one.
class Counter {
  public:
    Counter(const Progress& progress, std::size_t of) : progress_(progress), of_(of) { say(); }
    void one_more()
    {
        const std::lock_guard lock(mutex_);
        ++done_;
        say();
    }

  private:
    void say() const
    {
        if (progress_) {
            progress_("planning the outlets", done_, of_);
        }
    }
    const Progress& progress_;
    std::size_t of_;
    std::size_t done_ = 0;
    std::mutex mutex_;
};

std::vector<OutletOutcome> work_out(const PriceBasis& basis, const Ground& ground, const Progress& progress)
{
    const auto& site = basis.site;
    const RoutePreps preps(site, ground, basis.rules);
    const std::size_t sources = site.sources.size();
    std::vector<OutletOutcome> outcomes(site.outlets.size());
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        outcomes[i].outlet = i;
        outcomes[i].by_source.resize(sources, Refusal{});
    }
    Counter counter(progress, outcomes.size());
    // Each pair fills its own place, so the order of the threads cannot show.
    tbb::parallel_for(std::size_t{0}, outcomes.size(), [&](std::size_t outlet) {
        tbb::parallel_for(std::size_t{0}, sources, [&](std::size_t source) {
            outcomes[outlet].by_source[source] = plan_alone(preps, site, ground, basis.rules, source, outlet);
        });
        share_trenches(outcomes[outlet], preps, basis, ground);
        outcomes[outlet] = with_cures(std::move(outcomes[outlet]), preps, basis, ground);
        counter.one_more();
    });
    for (auto& outcome : outcomes) {
        outcome.works = works(outcome);
    }
    return outcomes;
}

PlanBasis basis_of(Site site, Job job)
{
    require_parts(site, job);
    check_request(site, job);
    site = with_runs(std::move(site), job.rules);
    if (job.rates.items.empty()) {
        job.rates = settings_book(job.rules);
    }
    Ground ground = ground_of(site, job.rules.edge_reach_m);
    (void)pumps_by_source(job, site); // before the long work: a wrong [pump] table stops here
    auto footing = footing_work(site, job.rules.footing, job.rules.soil);
    auto edge = footing_edge(job, site, ground);
    if (edge && job.rules.safety.wedge_ratio > 0) {
        job.rules.route.wedge = FootingWedge{.bottom_elev_m = edge->bottom_elev_m,
                                             .outer_edge_m = edge->outer_edge_m,
                                             .side_per_depth_ratio = job.rules.safety.wedge_ratio};
    }
    return {.job = std::move(job),
            .site = std::move(site),
            .ground = std::move(ground),
            .footing = std::move(footing),
            .footing_edge = edge};
}

/// Everything after the trenches are laid and measured, each step from what the one before it gave.
std::vector<OutletOutcome> finished(std::vector<OutletOutcome> laid, const PlanBasis& basis, const Facets& facets)
{
    const auto surface =
        SurfaceUncertainty::of(basis.ground, basis.ground.lone_spots(), basis.job.rules.surface_uncertainty);
    for (auto& outcome : laid) {
        auto wet = with_water(std::move(outcome), basis.site, basis.job);
        auto fitted = with_inside_work(std::move(wet), basis);
        auto safe = with_safety(std::move(fitted), basis, facets);
        auto priced = with_estimate(std::move(safe), basis);
        outcome = with_uncertainty(std::move(priced), basis, surface);
    }
    return ranked(std::move(laid), basis.site);
}

} // namespace

JobPlan plan_site(Site site, Job job, const Progress& progress)
{
    auto basis = basis_of(std::move(site), std::move(job));
    const auto facets = basis.site.dem ? facets_of(*basis.site.dem) : facets_of(basis.ground);
    auto outcomes = finished(work_out(price_basis(basis), basis.ground, progress), basis, facets);
    auto yard = yard_work(basis, facets);
    auto findings = job_findings(basis, outcomes, yard);
    auto supplied = supplied_items(basis.site, basis.job);
    auto missing = kinds_without_marks(basis.site);
    auto choices = compared(basis, outcomes);
    return {std::move(basis),    std::move(outcomes), std::move(findings), std::move(yard.work),
            std::move(supplied), std::move(missing),  std::move(choices)};
}

JobPlan plan_site(Site site, const Rules& rules)
{
    Job job;
    job.rules = rules;
    return plan_site(std::move(site), std::move(job));
}

JobPlan plan_job(Job job, const Progress& progress)
{
    if (progress) {
        progress("reading the layers", 0, 0);
    }
    auto site = read_site(job.layers);
    return plan_site(std::move(site), std::move(job), progress);
}

} // namespace trenchwright
