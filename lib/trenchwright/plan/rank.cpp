#include "trenchwright/plan/rank.hpp"

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_state.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

std::size_t refused(const OutletOutcome& outcome)
{
    return static_cast<std::size_t>(std::count_if(outcome.by_source.begin(), outcome.by_source.end(),
                                                  [](const auto& by) { return std::holds_alternative<Refusal>(by); }));
}

double min_spare_m(const OutletOutcome& outcome)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto* trench : trenches_of(&outcome)) {
        least = trench->needs_fall() ? std::min(least, trench->laid.extra_fall_m) : least;
    }
    return least;
}

/// In the order in which they are asked.
enum class RankStep { refused, stop, permission, price, extra_fall, file_order };

/// The first step at which two outcomes differ, and whether a is better there.
struct Step {
    RankStep step = RankStep::file_order;
    bool a_first = true;
};
Step deciding_step(const OutletOutcome& a, const OutletOutcome& b, const Site& site)
{
    if (refused(a) != refused(b)) {
        return {.step = RankStep::refused, .a_first = refused(a) < refused(b)};
    }
    if (const bool stop_a = stops_of(a) > 0, stop_b = stops_of(b) > 0; stop_a != stop_b) {
        return {.step = RankStep::stop, .a_first = stop_b};
    }
    if (const int pa = permission_step(site, site.outlets[a.outlet]),
        pb = permission_step(site, site.outlets[b.outlet]);
        pa != pb) {
        return {.step = RankStep::permission, .a_first = pa < pb};
    }
    if (a.total_cents != b.total_cents && a.works && b.works) {
        return {.step = RankStep::price, .a_first = a.total_cents < b.total_cents};
    }
    if (const double sa = min_spare_m(a), sb = min_spare_m(b); sa != sb) {
        return {.step = RankStep::extra_fall, .a_first = sa > sb};
    }
    return {.step = RankStep::file_order, .a_first = a.outlet < b.outlet};
}

std::string stops_text(std::size_t stops)
{
    return stops == 1 ? "a STOP" : fmt::format("{} STOPs", stops);
}

std::string reason_after(const OutletOutcome& better, const OutletOutcome& outcome, const Site& site)
{
    const auto& name = site.outlets[better.outlet].name;
    switch (deciding_step(better, outcome, site).step) {
    case RankStep::refused:
        return fmt::format("Step 1: not workable for {} of {} sources", refused(outcome), outcome.by_source.size());
    case RankStep::stop:
        return fmt::format("Step 2: its plan holds {} and that of {} none", stops_text(stops_of(outcome)), name);
    case RankStep::permission: return fmt::format("Step 3: its permission is weaker than that of {}", name);
    case RankStep::price:
        return fmt::format("Step 4: costs {1} more than {0}", name,
                           money_text(outcome.total_cents - better.total_cents));
    case RankStep::extra_fall: return fmt::format("Step 5: less extra fall than {}", name);
    case RankStep::file_order: break;
    }
    return fmt::format("Step 6: equal to {}, later in the file", name);
}

std::string reason_of_first(const OutletOutcome& outcome)
{
    switch (state_of(outcome)) {
    case OutletState::works: return "First: no outlet does better at any step";
    case OutletState::stop:
        return fmt::format("No workable outlet: every plan holds a STOP, and this one, with {}, comes nearest",
                           stops_text(stops_of(outcome)));
    case OutletState::refused: break;
    }
    return "No outlet is workable for every source; this one comes nearest";
}

} // namespace

int permission_step(const Site& site, const Outlet& outlet)
{
    int worst = 0;
    for (const auto& source : site.sources) {
        const Permission permission = permission_for(site, outlet, source);
        worst = std::max(worst, permission == Permission::yes ? 0 : permission == Permission::ask ? 1 : 2);
    }
    return worst;
}

const std::vector<std::string>& ranking_rules()
{
    static const std::vector<std::string> rules{
        "Step 1: outlets that every source can reach come before those not workable for some, and those "
        "before outlets not workable for any.",
        "Step 2: outlets whose plan holds no STOP before those with one, whatever price and permission.",
        "Step 3: permission yes before ask before unstated; the weakest of the kinds of water counts.",
        "Step 4: the lower price, fee included.",
        "Step 5: the greater extra fall.",
        "Step 6: the order of the file.",
    };
    return rules;
}

std::vector<OutletOutcome> ranked(std::vector<OutletOutcome> outcomes, const Site& site)
{
    std::stable_sort(outcomes.begin(), outcomes.end(), [&](const auto& a, const auto& b) {
        return a.outlet != b.outlet && deciding_step(a, b, site).a_first;
    });
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        outcomes[i].rank_reason =
            i > 0 ? reason_after(outcomes[i - 1], outcomes[i], site) : reason_of_first(outcomes[i]);
    }
    return outcomes;
}

} // namespace trenchwright
