#include "trenchwright/plan/water_findings.hpp"

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/pump_check.hpp"
#include "trenchwright/plan/reach_pipes.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

bool says(const ReachFlow& flow, FlowVerdict verdict)
{
    return std::ranges::find(flow.verdicts, verdict) != flow.verdicts.end();
}

std::string stretch_text(const Reach& reach, UnitSystem units)
{
    return fmt::format("{} to {}", station_text(reach.span.from_m, units), station_text(reach.span.to_m, units));
}

/// Words on how fast the water runs in the pipe that the reach is, or has to be, laid of.
void say_velocity(std::vector<Finding>& findings, const Reach& reach, const ReachFlow& flow, const Rules& rules)
{
    const auto& limits = rules.water.limits;
    const UnitSystem u = rules.units;
    if (says(flow, FlowVerdict::too_slow)) {
        const bool full = limits.min_velocity_when_full;
        findings.push_back(
            finding(Severity::warning, "water.min_velocity",
                    fmt::format("{}: water runs at {}{}; {} is required, or sediment settles.", stretch_text(reach, u),
                                velocity_text(full ? flow.full_velocity_mps : flow.velocity_mps, u),
                                full ? " in the full pipe" : "", velocity_text(limits.min_velocity_mps, u)),
                    {}, reach.span.from_m));
    }
    if (says(flow, FlowVerdict::too_fast)) {
        findings.push_back(
            finding(Severity::warning, "water.max_velocity",
                    fmt::format("{}: water runs at {}; the maximum is {}.", stretch_text(reach, u),
                                velocity_text(flow.velocity_mps, u), velocity_text(limits.max_velocity_mps, u)),
                    {}, reach.span.from_m));
    }
}

std::string count_text(std::optional<std::size_t> count, const std::string& pipe)
{
    return count ? fmt::format("{} pipes side by side ({})", *count, pipe)
                 : fmt::format("no number of pipes ({})", pipe);
}

std::string planned_side_by_side(const TrenchPlan& trench, const Reach& reach, const Rules& rules)
{
    const auto planned = planned_pipe(trench, reach, rules);
    return count_text(pipes_side_by_side(*reach.flow_m3ps, reach.min_fall_ratio, planned.bore, rules.water.limits),
                      planned.name);
}

/// The listed pipe in use of the greatest bore.
const PipeChoice& largest_pipe(const WaterRules& rules)
{
    const PipeChoice* largest = nullptr;
    for (const auto& pipe : rules.pipes) {
        if (pipe.use && (largest == nullptr || bore_of(pipe, rules).bore_m > bore_of(*largest, rules).bore_m)) {
            largest = &pipe;
        }
    }
    return *largest;
}

/// Room for a pipe's outside between the lowest invert's underside and the clearance under the curb's top.
std::optional<double> curb_room_m(const TrenchPlan& trench, const Outlet& outlet, const PipeChoice& pipe,
                                  const Rules& rules)
{
    if (trench.joins || outlet.kind != OutletKind::curb || !outlet.curb_top_elev_m) {
        return std::nullopt;
    }
    return *outlet.curb_top_elev_m - rules.route.curb_clearance_m - trench.line.route.end.lowest_invert_elev_m +
           pipe.wall_m;
}

/// What to do where the planned pipe does not carry the flow.
std::string advice(const TrenchPlan& trench, const Reach& reach, const Outlet& outlet, const Rules& rules)
{
    const UnitSystem u = rules.units;
    const auto side_by_side = planned_side_by_side(trench, reach, rules);
    if (!reach.sized->pipe) {
        const auto& largest = largest_pipe(rules.water);
        const auto count = pipes_side_by_side(*reach.flow_m3ps, reach.min_fall_ratio, bore_of(largest, rules.water),
                                              rules.water.limits);
        return fmt::format("No pipe of the list carries it: {} would, or another outlet for some of the water.",
                           count_text(count, largest.name));
    }
    const auto& pipe = rules.water.pipes[*reach.sized->pipe];
    const auto room_m = curb_room_m(trench, outlet, pipe, rules);
    if (room_m && pipe.outside_diameter_m > *room_m) {
        return fmt::format("It needs the {}, {} outside, and the curb leaves {} for a pipe: {} would carry it, or "
                           "another outlet.",
                           pipe.name, diameter_text(pipe.outside_diameter_m, u), diameter_text(*room_m, u),
                           side_by_side);
    }
    return fmt::format("It needs the {}: this plan is for a smaller pipe.", pipe.name);
}

void say_too_full(std::vector<Finding>& findings, const TrenchPlan& trench, const Reach& reach, const Outlet& outlet,
                  const Rules& rules)
{
    const UnitSystem u = rules.units;
    findings.push_back(
        finding(Severity::warning, reach.sized->pipe ? "water.max_depth" : "pipes",
                fmt::format("{}: the pipe planned ({}) carries {} at its fall of {}, and {} comes. {}",
                            stretch_text(reach, u), planned_pipe(trench, reach, rules).name,
                            flow_text(reach.as_planned->capacity_m3ps, u), fall_text(reach.min_fall_ratio, u),
                            flow_text(*reach.flow_m3ps, u), advice(trench, reach, outlet, rules)),
                {}, reach.span.from_m));
}

void say_uplift(std::vector<Finding>& findings, const Source& source, const PumpRecord& pump, const Rules& rules)
{
    const UnitSystem u = rules.units;
    const auto up = pit_uplift(pump, rules.water.uplift);
    if (!up.holds) {
        findings.push_back(finding(
            Severity::warning, "uplift.safety",
            fmt::format("{}: empty, with ground water up to its rim, the pit is lifted by {} and held by {}; {:.2f} "
                        "times the lift is required. Concrete of {} under water would hold it.",
                        source.id, weight_text(up.displaced_kg, u), weight_text(up.holding_kg, u),
                        rules.water.uplift.min_safety_factor, volume_text(up.concrete_m3, u))));
    }
    if (up.walls_unknown) {
        findings.push_back(finding(Severity::note, "uplift.safety",
                                   fmt::format("{}: the pit is perforated and pump.pit_wall is not given: it is taken "
                                               "to displace nothing, as long as its holes are open.",
                                               source.id)));
    }
}

} // namespace

std::vector<Finding> reach_findings(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    std::vector<Finding> findings;
    for (const auto& reach : trench.water.reaches) {
        if (!reach.as_planned) {
            continue;
        }
        const bool too_full = reach.flow_m3ps && says(*reach.as_planned, FlowVerdict::too_full);
        if (too_full) {
            say_too_full(findings, trench, reach, site.outlets[trench.outlet], rules);
        }
        const bool other_pipe = too_full && reach.sized->pipe;
        say_velocity(findings, reach, other_pipe ? *reach.sized : *reach.as_planned, rules);
    }
    return findings;
}

std::vector<Finding> water_findings(const Site& site, const Job& job)
{
    std::vector<Finding> findings;
    const auto& rules = job.rules;
    const auto has = [&](SourceKind kind) {
        return std::ranges::any_of(site.sources, [kind](const Source& source) { return source.kind == kind; });
    };
    if (has(SourceKind::downspout) && !(rules.water.design_rain_mps > 0)) {
        findings.push_back(finding(Severity::warning, "water.design_rain",
                                   "Design rain not supplied (water.design_rain): the flow off the roof is not known, "
                                   "and no pipe is sized for it."));
    }
    const auto pumps = pumps_by_source(job, site);
    for (std::size_t i = 0; i < site.sources.size(); ++i) {
        const auto& source = site.sources[i];
        const bool pump = source.kind == SourceKind::pump;
        if (!pump && !(source.roof_area_m2 > 0)) {
            findings.push_back(finding(Severity::warning, "sources",
                                       fmt::format("{}: no roof area supplied; its flow is not known.", source.id)));
        }
        if (pump && !(source.pump_flow_m3ps > 0)) {
            findings.push_back(finding(Severity::warning, "sources",
                                       fmt::format("{}: no pump flow supplied; its flow is not known{}.", source.id,
                                                   pumps[i] ? " but from its curve" : "")));
        }
        if (pump && !pumps[i]) {
            findings.push_back(finding(Severity::warning, "pump",
                                       fmt::format("{}: pump curve not supplied: duty not checked.", source.id)));
        }
        if (pumps[i]) {
            say_uplift(findings, source, job.pumps[*pumps[i]], rules);
        }
    }
    return findings;
}

} // namespace trenchwright
