#include "trenchwright/report/report.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string outlet_doubt_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& name = plan.site.outlets[outcome.outlet].name;
    if (!outcome.doubt) {
        return fmt::format("{}: not known: {}.", name, outcome.why_no_doubt);
    }
    const auto& doubt = *outcome.doubt;
    const UnitSystem u = plan.job.rules.units;
    std::string text = fmt::format(
        "{}: laid at the minimum fall and cover, {}. All places together, it drains in {} of "
        "{} simulated surveys.",
        name, tight_text(plan, doubt), probability_text(doubt.fall.drains_share), plan.job.rules.doubt_draws.draws);
    if (doubt.next_place) {
        const auto native = to_native(plan.site.frame, doubt.next_place->at);
        text +=
            fmt::format(" Next shot: on the trench of {} at {}, ({:.2f}, {:.2f}); one more shot there cuts the "
                        "uncertainty to {:.0f} %.",
                        plan.site.sources[doubt.next_place->source].id, station_text(doubt.next_place->station_m, u),
                        native.x, native.y, 100 * doubt.fall.next->doubt_after_share / doubt.fall.doubt_share);
    }
    return text;
}

} // namespace

std::string doubt_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& outcome : plan.outcomes) {
        if (outcome.doubt || !outcome.why_no_doubt.empty()) {
            text += wrapped(outlet_doubt_text(plan, outcome), page_width, 4) + "\n";
        }
    }
    return text;
}

} // namespace trenchwright
