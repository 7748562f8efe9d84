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
    if (!outcome.works) {
        throw Error(ErrorKind::input,
                    fmt::format("sheet of outlet \"{}\": {} is not workable, so there is nothing to draw; "
                                "plan without naming it to see why",
                                wanted, plan.site.outlets[outcome.outlet].name));
    }
    return &outcome;
}

} // namespace trenchwright
