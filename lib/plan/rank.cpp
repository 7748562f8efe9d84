#include "plan/trench.hpp"

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

double least_spare_m(const OutletOutcome& outcome)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto* trench : trenches_of(&outcome)) {
        least = trench->needs_fall() ? std::min(least, trench->spare_fall_m) : least;
    }
    return least;
}

/// The first step at which two outcomes differ, 0 to 3, or 4; negative comparison means a is better.
struct Step {
    int step = 4;
    bool a_first = true;
};
Step deciding_step(const OutletOutcome& a, const OutletOutcome& b, const Site& site)
{
    if (refused(a) != refused(b)) {
        return {.step = 0, .a_first = refused(a) < refused(b)};
    }
    if (const int pa = permission_step(site, site.outlets[a.outlet]),
        pb = permission_step(site, site.outlets[b.outlet]);
        pa != pb) {
        return {.step = 1, .a_first = pa < pb};
    }
    if (a.total_cents != b.total_cents && a.works && b.works) {
        return {.step = 2, .a_first = a.total_cents < b.total_cents};
    }
    if (const double sa = least_spare_m(a), sb = least_spare_m(b); sa != sb) {
        return {.step = 3, .a_first = sa > sb};
    }
    return {.step = 4, .a_first = a.outlet < b.outlet};
}

std::string reason_after(const OutletOutcome& better, const OutletOutcome& outcome, const Site& site)
{
    const auto& name = site.outlets[better.outlet].name;
    switch (deciding_step(better, outcome, site).step) {
    case 0: return fmt::format("Step 1: refused for {} of {} sources", refused(outcome), outcome.by_source.size());
    case 1: return fmt::format("Step 2: its permission is weaker than that of {}", name);
    case 2:
        return fmt::format("Step 3: dearer than {} by {}", name, money_text(outcome.total_cents - better.total_cents));
    case 3: return fmt::format("Step 4: less spare fall than {}", name);
    default: return fmt::format("Step 5: equal to {}, later in the file", name);
    }
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
        "Step 1: outlets that every source can reach come before those refused for some, and those before outlets "
        "refused for all.",
        "Step 2: permission yes before ask before unstated; the weakest of the kinds of water counts.",
        "Step 3: the lower price, fee included.",
        "Step 4: the greater spare fall.",
        "Step 5: the order of the file.",
    };
    return rules;
}

void rank(std::vector<OutletOutcome>& outcomes, const Site& site)
{
    std::stable_sort(outcomes.begin(), outcomes.end(), [&](const auto& a, const auto& b) {
        return a.outlet != b.outlet && deciding_step(a, b, site).a_first;
    });
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        outcomes[i].rank_reason = i > 0               ? reason_after(outcomes[i - 1], outcomes[i], site)
                                  : outcomes[i].works ? "First: no outlet does better at any step"
                                                      : "No outlet works for every source; this one comes nearest";
    }
}

} // namespace trenchwright
