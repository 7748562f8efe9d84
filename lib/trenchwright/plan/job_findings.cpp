#include "trenchwright/plan/job_findings.hpp"

#include "trenchwright/plan/data_checks.hpp"
#include "trenchwright/plan/inside.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/office_findings.hpp"
#include "trenchwright/plan/supplied.hpp"
#include "trenchwright/plan/water_findings.hpp"
#include "trenchwright/plan/yard.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Of the data as read.
std::vector<Finding> data_findings(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes)
{
    const auto& site = basis.site;
    std::vector<Finding> findings = site.findings;
    findings.insert(findings.end(), basis.ground.findings().begin(), basis.ground.findings().end());
    const auto add = [&](Severity severity, std::string rule, std::string text) {
        findings.push_back(finding(severity, std::move(rule), std::move(text)));
    };
    if (auto line = missing_marks_line(site, kinds_without_marks(site)); !line.empty()) {
        add(Severity::warning, "utilities", std::move(line));
    }
    std::ranges::move(empty_layers(site), std::back_inserter(findings));
    for (const auto& fault : data_faults(site, &basis.ground, basis.job.rules)) {
        if (fault.grade == FaultGrade::grave) {
            findings.push_back(finding_of(fault));
        }
    }
    if (!basis.job.currency_stated) {
        add(Severity::warning, "print.currency",
            fmt::format("The job is metric and names no currency: its prices are printed in {}. Write print.currency "
                        "under [rules], and rates of your own.",
                        basis.job.rules.currency));
    }
    if (site.foundations.empty()) {
        add(Severity::warning, "foundation", "No foundation supplied: nothing keeps the trench away from the house.");
    }
    for (std::size_t outlet = 0; outlet < site.outlets.size(); ++outlet) {
        const auto& outcome = *std::ranges::find(outcomes, outlet, &OutletOutcome::outlet);
        if (!outcome.why_not_shared.empty()) {
            const auto& name = site.outlets[outlet].name;
            add(Severity::note, "sources",
                outcome.works
                    ? fmt::format("{}: each source has a trench of its own, since {}. Where such trenches run together "
                                  "they are counted, dug and priced once for each source.",
                                  name, outcome.why_not_shared)
                    : fmt::format("{}: one drain that the pump's discharge line climbs to was tried as well: {}.", name,
                                  outcome.why_not_shared));
        }
    }
    for (const auto& source : site.sources) {
        if (source.kind == SourceKind::pump) {
            add(Severity::note, "sources",
                fmt::format("Pump discharge {} is a force main until it joins another trench; where it has a trench "
                            "of its own it is planned as a gravity line from where it leaves the wall, or under "
                            "pressure to the outlet where gravity does not serve.",
                            source.id));
        }
    }
    return findings;
}

} // namespace

std::vector<Finding> job_findings(const PlanBasis& basis, const std::vector<OutletOutcome>& outcomes,
                                  const YardOutcome& yard)
{
    auto findings = data_findings(basis, outcomes);
    for (const auto& more : {water_findings(basis.site, basis.job), office_findings(basis.site, basis.job),
                             inside_findings(basis), yard.doubts, yard_findings(basis, yard.work)}) {
        findings.insert(findings.end(), more.begin(), more.end());
    }
    return findings;
}

std::vector<Finding> empty_layers(const Site& site)
{
    std::vector<Finding> findings;
    for (const auto& layer : site.layers) {
        if (layer.features == 0 && layer.in_file == 0) {
            findings.push_back(finding(
                Severity::warning, "site.empty",
                fmt::format("{}, layer {}: is empty; the job names it for {}", layer.file, layer.layer, layer.part)));
        }
    }
    return findings;
}

} // namespace trenchwright
