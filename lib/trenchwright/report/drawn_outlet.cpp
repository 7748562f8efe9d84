#include "trenchwright/report/drawn_outlet.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

const OutletOutcome& named_outcome(const JobPlan& plan, const std::string& id)
{
    std::string known;
    for (const auto& outcome : plan.outcomes) {
        const auto& outlet = plan.site.outlets[outcome.outlet];
        if (outlet.id == id) {
            return outcome;
        }
        known += (known.empty() ? "" : ", ") + outlet.id;
    }
    throw Error(ErrorKind::input,
                fmt::format("sheet of outlet \"{}\": no outlet has this id; choose from: {}", id, known));
}

} // namespace

const OutletOutcome* drawn_outlet(const JobPlan& plan)
{
    const auto& wanted = plan.job.sheet.outlet;
    if (wanted.empty()) {
        const auto works = [](const OutletOutcome& outcome) { return outcome.works; };
        const auto best = std::ranges::find_if(plan.outcomes, works);
        return best == plan.outcomes.end() ? nullptr : &*best;
    }
    const auto& outcome = named_outcome(plan, wanted);
    return outcome.works ? &outcome : nullptr;
}

const OutletOutcome* drawn_refusal(const JobPlan& plan)
{
    if (drawn_outlet(plan) != nullptr || plan.outcomes.empty()) {
        return nullptr;
    }
    const auto& wanted = plan.job.sheet.outlet;
    return wanted.empty() ? &plan.outcomes.front() : &named_outcome(plan, wanted);
}

std::string no_trench_text(const JobPlan& plan)
{
    const auto* refused = plan.job.sheet.outlet.empty() ? nullptr : drawn_refusal(plan);
    return refused == nullptr
               ? "No workable outlet"
               : fmt::format("{}, the outlet asked for, is not workable", plan.site.outlets[refused->outlet].name);
}

} // namespace trenchwright
