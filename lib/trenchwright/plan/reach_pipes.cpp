#include "trenchwright/plan/reach_pipes.hpp"

#include "trenchwright/plan/drain_water.hpp"
#include "trenchwright/rules/rules.hpp"
#include "trenchwright/rules/water_rules.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

double manning_n(bool smooth, const WaterRules& rules)
{
    return smooth ? rules.smooth_manning_n : rules.corrugated_manning_n;
}

/// The smallest pipe in use, from `min_bore_m` up (the bore of one of them, or 0), that carries the reach.
ReachFlow sized_reach(double flow_m3ps, double fall_ratio, double min_bore_m, const WaterRules& rules)
{
    std::vector<PipeBore> bores;
    std::vector<std::size_t> indices;
    for (std::size_t i = 0; i < rules.pipes.size(); ++i) {
        const auto bore = bore_of(rules.pipes[i], rules);
        if (rules.pipes[i].use && bore.bore_m >= min_bore_m) {
            bores.push_back(bore);
            indices.push_back(i);
        }
    }
    auto sized = size_reach(flow_m3ps, fall_ratio, bores, rules.limits);
    if (sized.pipe) {
        sized.pipe = indices[*sized.pipe];
    }
    return sized;
}

} // namespace

PipeBore bore_of(const PipeChoice& pipe, const WaterRules& rules)
{
    return {.bore_m = pipe.outside_diameter_m - 2 * pipe.wall_m, .manning_n = manning_n(pipe.smooth_inside, rules)};
}

std::vector<RuleText> rules_of_pipe(const PipeChoice& pipe)
{
    return {{"drain.pipe_name", pipe.name, ""},
            {"drain.pipe_outside_diameter", fmt::format("{:.12g} m", pipe.outside_diameter_m), ""},
            {"drain.pipe_wall", fmt::format("{:.12g} m", pipe.wall_m), ""},
            {"drain.pipe_inside", pipe.smooth_inside ? "smooth" : "corrugated", ""}};
}

PlannedPipe planned_pipe(const TrenchPlan& trench, const Reach& reach, const Rules& rules)
{
    const auto& water = rules.water;
    const auto& reduced = trench.laid.reduced;
    if (!reduced || !(reach.span.from_m < reduced->length_m)) {
        return {
            .name = rules.pipe_name,
            .bore = {.bore_m = rules.inside_diameter_m, .manning_n = manning_n(water.planned_smooth_inside, water)}};
    }
    const auto listed = std::ranges::find(water.pipes, reduced->pipe, &PipeChoice::name);
    const bool smooth = listed == water.pipes.end() ? water.planned_smooth_inside : listed->smooth_inside;
    return {
        .name = reduced->pipe,
        .bore = {.bore_m = reduced->outside_diameter_m - 2 * reduced->wall_m, .manning_n = manning_n(smooth, water)}};
}

Reach with_pipes(const TrenchPlan& trench, Reach reach, double min_bore_m, const Rules& rules)
{
    const auto& water = rules.water;
    reach.as_planned = reach_flow(reach.flow_m3ps.value_or(0), reach.min_fall_ratio,
                                  planned_pipe(trench, reach, rules).bore, water.limits);
    if (reach.flow_m3ps) {
        reach.sized = sized_reach(*reach.flow_m3ps, reach.min_fall_ratio, min_bore_m, water);
    }
    return reach;
}

} // namespace trenchwright
