#include "trenchwright/report/report.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string outlet_uncertainty_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& name = plan.site.outlets[outcome.outlet].name;
    if (!outcome.uncertainty) {
        return fmt::format("{}: not known: {}.", name, outcome.why_no_uncertainty);
    }
    const auto& uncertainty = *outcome.uncertainty;
    const UnitSystem u = plan.job.rules.units;
    std::string text =
        fmt::format("{}: laid at the minimum fall and cover, {}. All places together, it drains in {} of "
                    "{} simulated surveys.",
                    name, tight_text(plan, uncertainty), probability_text(uncertainty.fall.drains_share),
                    plan.job.rules.uncertainty_draws.draws);
    if (uncertainty.next_place) {
        const auto native = to_native(plan.site.frame, uncertainty.next_place->at);
        text += fmt::format(" Next shot: on the trench of {} at {}, ({:.2f}, {:.2f}); one more shot there cuts the "
                            "uncertainty to {:.0f} %.",
                            plan.site.sources[uncertainty.next_place->source].id,
                            station_text(uncertainty.next_place->station_m, u), native.x, native.y,
                            100 * uncertainty.fall.next->uncertainty_after_share / uncertainty.fall.uncertainty_share);
    }
    return text;
}

} // namespace

std::string uncertainty_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& outcome : plan.outcomes) {
        if (outcome.uncertainty || !outcome.why_no_uncertainty.empty()) {
            text += wrapped(outlet_uncertainty_text(plan, outcome), page_width, 4) + "\n";
        }
    }
    return text;
}

} // namespace trenchwright
