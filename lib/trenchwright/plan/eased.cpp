#include "trenchwright/plan/eased.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"

#include <algorithm>

namespace trenchwright {

RoutePreps::RoutePreps(const Site& site, const Ground& ground, const Rules& rules)
    : site_(site), ground_(ground), rules_(rules), wanted_(prepare_routes(site, ground, rules.route))
{
}

const RoutePrep& RoutePreps::of(const Easing& easing) const
{
    if (!easing.lowest_cover) { // a smaller pipe in the curb changes the search's end alone
        return *wanted_;
    }
    std::call_once(once_, [&] { lowest_ = prepare_routes(site_, ground_, planning_rules(rules_, easing).route); });
    return *lowest_;
}

Rules planning_rules(Rules rules, const Easing& easing)
{
    rules = measuring_rules(std::move(rules), easing);
    if (easing.lowest_cover) {
        rules.route = with_lowest_cover(std::move(rules.route));
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
