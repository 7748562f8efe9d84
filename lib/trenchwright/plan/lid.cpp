#include "trenchwright/plan/lid.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/pump_joint.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

double wall_invert_m(const TrenchPlan& trench)
{
    return trench.laid.profile.points.back().invert_elev_m;
}

} // namespace

std::optional<double> lid_elev_m(const OutletOutcome& outcome, const TrenchPlan& trench, const Site& site)
{
    const bool popup = site.outlets.at(trench.outlet).kind == OutletKind::popup;
    return popup ? std::optional(trunk_of(outcome, trench).laid.problem.ground.front().elev_m) : std::nullopt;
}

bool stands_full(const OutletOutcome& outcome, const Site& site)
{
    return std::ranges::any_of(trenches_of(&outcome), [&](const TrenchPlan* trench) {
        const auto lid = lid_elev_m(outcome, *trench, site);
        return lid && !trench->pressure && *lid > wall_invert_m(*trench);
    });
}

std::vector<Finding> lid_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                  std::optional<double> lid_elev_m)
{
    const double top_m = wall_invert_m(trench);
    if (!lid_elev_m || trench.pressure || !(*lid_elev_m > top_m) || spills_below(trench, site, rules, *lid_elev_m)) {
        return {};
    }
    const auto above = small_text(*lid_elev_m - top_m, rules.units);
    const bool level = above == small_text(0, rules.units);
    return {finding(
        Severity::warning, "outlets.popup_drop",
        fmt::format("The lid of {} lies {} the invert at the wall{}: the line must back up to the lid before it "
                    "opens.",
                    site.outlets[trench.outlet].name, level ? "at the same height as" : above + " above",
                    trench.joins ? " of " + site.sources[trench.source].id : ""),
        trench.line.route.line.back(), length_m(trench.line.route.line))};
}

} // namespace trenchwright
