#include "trenchwright/plan/plan.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/plan/inside.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/site_checks.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/plan/water.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <tbb/parallel_for.h>

namespace trenchwright {

namespace {

Ground ground_of(const Site& site)
{
    if (site.dem) {
        return Ground::from_raster(*site.dem);
    }
    std::vector<Point3> spots;
    for (const auto& spot : site.spots) {
        spots.push_back({.x_m = spot.at.x_m, .y_m = spot.at.y_m, .elev_m = spot.elev_m});
    }
    std::vector<std::vector<Point3>> lines;
    for (const auto& breakline : site.breaklines) {
        lines.push_back(breakline.line);
    }
    return Ground::from_spots(spots, lines);
}

bool works(const OutletOutcome& outcome)
{
    return std::all_of(outcome.by_source.begin(), outcome.by_source.end(),
                       [](const auto& by) { return std::holds_alternative<TrenchPlan>(by); });
}

/// A pump's line may climb, so a pump that cannot reach the outlet by gravity may still join a trench that does.
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
void share_trenches(OutletOutcome& outcome, const RoutePrep& prep, const PriceBasis& basis, const Ground& ground)
{
    const auto& site = basis.site;
    if (!may_share(outcome, site)) {
        return;
    }
    auto shared = plan_shared(prep, site, ground, basis.rules, outcome.outlet);
    if (const auto* why = std::get_if<std::string>(&shared)) {
        outcome.why_not_shared = *why;
        return;
    }
    OutletOutcome drain;
    drain.outlet = outcome.outlet;
    drain.shared = true;
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
std::variant<TrenchPlan, Refusal> plan_alone(const RoutePrep& prep, const Site& site, const Ground& ground,
                                             const Rules& rules, std::size_t source, std::size_t outlet)
{
    auto by_gravity = plan_trench(prep, site, ground, rules, source, outlet);
    auto* refusal = std::get_if<Refusal>(&by_gravity);
    const bool lies_low =
        refusal != nullptr && (refusal->kind == RefusalKind::falls_short || refusal->kind == RefusalKind::too_deep);
    if (!lies_low || site.sources[source].kind != SourceKind::pump) {
        return by_gravity;
    }
    auto climbing = plan_pressure(prep, site, ground, rules, source, outlet);
    if (const auto* why = std::get_if<std::string>(&climbing)) {
        refusal->text += fmt::format(". Under pressure: {}", *why);
        return by_gravity;
    }
    auto& trench = std::get<TrenchPlan>(climbing);
    trench.findings.push_back(finding(Severity::note, "sources",
                                      fmt::format("Gravity does not serve here: {}. So the pump's line stays under "
                                                  "pressure to the outlet.",
                                                  refusal->text)));
    return std::move(trench);
}

std::vector<OutletOutcome> work_out(const PriceBasis& basis, const Ground& ground)
{
    const auto& site = basis.site;
    const auto prep = prepare_routes(site, ground, basis.rules.route);
    const std::size_t sources = site.sources.size();
    std::vector<OutletOutcome> outcomes(site.outlets.size());
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        outcomes[i].outlet = i;
        outcomes[i].by_source.resize(sources, Refusal{});
    }
    // Each pair fills its own place, so the order of the threads cannot show.
    tbb::parallel_for(std::size_t{0}, outcomes.size(), [&](std::size_t outlet) {
        tbb::parallel_for(std::size_t{0}, sources, [&](std::size_t source) {
            outcomes[outlet].by_source[source] = plan_alone(*prep, site, ground, basis.rules, source, outlet);
        });
        share_trenches(outcomes[outlet], *prep, basis, ground);
    });
    for (auto& outcome : outcomes) {
        outcome.works = works(outcome);
    }
    return outcomes;
}

std::vector<Finding> job_findings(const Site& site, const Ground& ground, const std::vector<std::string>& no_marks_for,
                                  const std::vector<OutletOutcome>& outcomes)
{
    std::vector<Finding> findings = site.findings;
    findings.insert(findings.end(), ground.findings().begin(), ground.findings().end());
    const auto add = [&](Severity severity, std::string rule, std::string text) {
        findings.push_back(finding(severity, std::move(rule), std::move(text)));
    };
    if (auto line = missing_marks_line(site, no_marks_for); !line.empty()) {
        add(Severity::warning, "utilities", std::move(line));
    }
    for (const auto& layer : site.layers) {
        if (layer.features == 0) {
            add(Severity::warning, "site.empty",
                fmt::format("{}, layer {}: is empty; the job names it for {}", layer.file, layer.layer, layer.part));
        }
    }
    if (site.foundations.empty()) {
        add(Severity::warning, "foundation", "No foundation supplied: nothing keeps the trench away from the house.");
    }
    for (const auto& outcome : outcomes) {
        if (!outcome.why_not_shared.empty()) {
            const auto& name = site.outlets[outcome.outlet].name;
            add(Severity::note, "sources",
                outcome.works
                    ? fmt::format("{}: each source has a trench of its own, since {}. Where such trenches run together "
                                  "they are counted, dug and priced once for each source.",
                                  name, outcome.why_not_shared)
                    : fmt::format("{}: one drain that the pump's line climbs to was tried as well: {}.", name,
                                  outcome.why_not_shared));
        }
    }
    for (const auto& source : site.sources) {
        if (source.kind == SourceKind::pump) {
            add(Severity::note, "sources",
                fmt::format("Pump discharge {} is pressure pipe until it joins another trench; where it has a trench "
                            "of its own it is planned as a gravity line from where it leaves the wall, or under "
                            "pressure to the outlet where gravity does not serve.",
                            source.id));
        }
    }
    return findings;
}

} // namespace

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

JobPlan plan_site(Site site, const Rules& rules)
{
    Job job;
    job.rules = rules;
    return plan_site(std::move(site), std::move(job));
}

JobPlan plan_job(Job job)
{
    auto site = read_site(job.layers);
    return plan_site(std::move(site), std::move(job));
}

JobPlan plan_site(Site site, Job job)
{
    require_parts(site, job);
    check_request(site, job);
    Ground ground = ground_of(site);
    const auto water_doubts = water_findings(site, job); // before the long work: a wrong [pump] table stops here
    if (job.rates.items.empty()) {
        job.rates = settings_book(job.rules);
    }
    auto footing = footing_work(site, job.rules.footing, job.rules.soil);
    auto outcomes = work_out({.site = site, .rules = job.rules, .book = job.rates, .footing = footing}, ground);
    for (auto& outcome : outcomes) {
        add_water(outcome, site, job);
    }
    auto missing = kinds_without_marks(site);
    auto findings = job_findings(site, ground, missing, outcomes);
    const auto office_doubts = office_findings(site, job);
    for (const auto* more : {&water_doubts, &office_doubts}) {
        findings.insert(findings.end(), more->begin(), more->end());
    }
    auto supplied = supplied_items(site, job);
    JobPlan plan{.job = std::move(job),
                 .site = std::move(site),
                 .outcomes = std::move(outcomes),
                 .findings = std::move(findings),
                 .supplied = std::move(supplied),
                 .no_marks_for = std::move(missing),
                 .ground = std::move(ground),
                 .footing = std::move(footing)};
    add_inside_work(plan);
    add_safety(plan);
    add_estimates(plan);
    add_doubts(plan);
    rank(plan.outcomes, plan.site);
    add_choices(plan);
    return plan;
}

} // namespace trenchwright
