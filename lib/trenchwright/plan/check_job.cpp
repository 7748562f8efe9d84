#include "trenchwright/plan/check_job.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/plan/job_findings.hpp"
#include "trenchwright/plan/office_findings.hpp"
#include "trenchwright/plan/site_checks.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// The check's answer while it grows.
class Check {
  public:
    explicit Check(const Job& job) : job_(job) {}
    JobCheck run();

  private:
    void add_unreadable(const std::string& text);
    void add(const std::vector<Finding>& findings);
    void read_one_by_one();
    void look_at(const Site& site);
    std::optional<Ground> ground_under(const Site& site);

    const Job& job_;
    JobCheck check_;
};

void Check::add_unreadable(const std::string& text)
{
    const auto known = std::ranges::find(check_.faults, text, &DataFault::what);
    if (known == check_.faults.end()) {
        check_.faults.push_back({.grade = FaultGrade::unreadable, .check = "cannot be read", .what = text});
    }
}

void Check::add(const std::vector<Finding>& findings)
{
    for (const auto& finding : findings) {
        check_.faults.push_back(
            {.grade = finding.severity == Severity::note ? FaultGrade::doubtful : FaultGrade::grave,
             .check = finding.rule,
             .at = finding.at,
             .what = finding.text.ends_with('.') ? finding.text.substr(0, finding.text.size() - 1) : finding.text});
    }
}

/// Every layer beside what shows where our lot is.
void Check::read_one_by_one()
{
    for (const auto& [part, uses] : job_.layers.parts) {
        for (const auto& use : uses) {
            auto one = job_.layers;
            std::erase_if(one.parts, [](const auto& entry) { return entry.first != "parcel"; });
            one.parts[part] = {use};
            one.street_between_lots = false;
            try {
                (void)read_site(one);
            } catch (const Error& fault) {
                // The lot alone may need the house or the sources to be told among others.
                const bool of_this = std::string(fault.what()).find(use.file.filename().string()) != std::string::npos;
                if (of_this) {
                    add_unreadable(fault.what());
                }
            }
        }
    }
}

std::optional<Ground> Check::ground_under(const Site& site)
{
    try {
        return ground_of(site, job_.rules.edge_reach_m);
    } catch (const Error& fault) {
        add_unreadable(fault.what());
        return std::nullopt;
    }
}

void Check::look_at(const Site& site)
{
    check_.frame = site.frame;
    try {
        require_parts(site, job_);
        check_request(site, job_);
    } catch (const Error& fault) {
        add_unreadable(fault.what());
    }
    const auto ground = ground_under(site);
    const auto faults = data_faults(site, ground ? &*ground : nullptr, job_.rules);
    check_.faults.insert(check_.faults.end(), faults.begin(), faults.end());
    add(site.findings);
    add(ground ? ground->findings() : std::vector<Finding>{});
    add(empty_layers(site));
    add(office_findings(site, job_));
}

JobCheck Check::run()
{
    try {
        look_at(with_runs(read_site(job_.layers), job_.rules));
    } catch (const Error& fault) {
        add_unreadable(fault.what());
        read_one_by_one();
    }
    std::ranges::stable_sort(check_.faults, {}, &DataFault::grade);
    return std::move(check_);
}

} // namespace

JobCheck check_job(const Job& job)
{
    return Check(job).run();
}

} // namespace trenchwright
