#include "trenchwright/plan/eased.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"

#include <algorithm>

namespace trenchwright {

RoutePreps::RoutePreps(const Site& site, const Ground& ground, const Rules& rules)
    : site_(site), ground_(ground), rules_(rules)
{
}

const RoutePrep& RoutePreps::of(const Easing& easing) const
{
    // A smaller pipe in the curb changes the search's end alone.
    const Easing ways{.lowest_cover = easing.lowest_cover, .curb_pipe = std::nullopt, .footing = easing.footing};
    auto& made = made_.at(static_cast<std::size_t>(ways.footing)).at(ways.lowest_cover ? 1 : 0);
    std::call_once(made.once, [&] { made.prep = prepare_routes(site_, ground_, planning_rules(rules_, ways).route); });
    return *made.prep;
}

Rules planning_rules(Rules rules, const Easing& easing)
{
    rules = measuring_rules(std::move(rules), easing);
    if (easing.lowest_cover) {
        rules.route = with_lowest_cover(std::move(rules.route));
    }
    auto& wedge = rules.route.wedge;
    if (easing.footing == BesideFooting::not_kept) {
        wedge.reset();
    } else if (wedge && easing.footing == BesideFooting::let_off_at_wall) {
        wedge->let_off_m = rules.route.wall_exit_length_m;
    }
    return rules;
}

Rules measuring_rules(Rules rules, const Easing& easing)
{
    if (easing.curb_pipe) {
        const auto& pipe = rules.water.pipes.at(*easing.curb_pipe);
        rules.route.curb_pipe = CurbPipe{.outside_diameter_m = pipe.outside_diameter_m, .wall_m = pipe.wall_m};
    }
    return rules;
}

std::vector<std::size_t> smaller_pipes(const Rules& rules)
{
    const auto& pipes = rules.water.pipes;
    std::vector<std::size_t> smaller;
    for (std::size_t i = 0; i < pipes.size(); ++i) {
        if (pipes[i].use && pipes[i].outside_diameter_m < rules.route.section.outside_diameter_m) {
            smaller.push_back(i);
        }
    }
    std::ranges::stable_sort(smaller, std::greater{}, [&](std::size_t i) { return pipes[i].outside_diameter_m; });
    return smaller;
}

std::optional<ReducedEnd> reduced_end(const Polyline& line, const Outlet& outlet, const Rules& rules,
                                      const Easing& easing)
{
    if (!easing.curb_pipe) {
        return std::nullopt;
    }
    const auto& pipe = rules.water.pipes.at(*easing.curb_pipe);
    return ReducedEnd{.length_m = reduced_length_m(line, outlet, rules.route),
                      .pipe = pipe.name,
                      .outside_diameter_m = pipe.outside_diameter_m,
                      .wall_m = pipe.wall_m};
}

} // namespace trenchwright
