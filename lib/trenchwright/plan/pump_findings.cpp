#include "trenchwright/plan/pump_findings.hpp"

#include "trenchwright/plan/job_plan.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string cycle_text(const PumpCheck& check, const PumpLimits& limits, UnitSystem u)
{
    const auto& worst = check.duty->worst;
    return fmt::format("at an inflow of {} the pump starts every {:.0f} s; the minimum is {:.0f} s from start to start",
                       flow_text(worst.inflow_m3ps, u), worst.cycle.cycle_s(), limits.min_cycle_s);
}

std::string back_text(const PumpCheck& check, UnitSystem u)
{
    return fmt::format("{} run back after each stop and the pit holds {} between its levels: the pump starts again at "
                       "once. It needs a check valve or a larger pit",
                       water_text(check.duty->drains_back_m3, u), water_text(check.between_levels_m3, u));
}

/// The rule behind a verdict and what to say about it.
std::pair<std::string, std::string> verdict_text(PumpVerdict verdict, const PumpCheck& check, const Job& job)
{
    const auto& limits = job.rules.water.pump_line.limits;
    const UnitSystem u = job.rules.units;
    const auto& duty = *check.duty;
    const auto velocity = velocity_text(duty.velocity_mps, u);
    switch (verdict) {
    case PumpVerdict::cannot_lift:
        return {"pump", fmt::format("the pump does not reach the line's highest point, {} above its off level",
                                    length_text(check.line.static_lift_m, u))};
    case PumpVerdict::off_the_curve:
        return {"pump", duty.point.place == DutyPlace::past_last_point
                            ? "the pump moves more than its curve shows: its duty is not known"
                            : "the head is above the curve's first point: its duty is not known"};
    case PumpVerdict::too_slow:
        return {"pump_line.min_velocity",
                fmt::format("water runs at {} in the line; {} is required, or sediment settles", velocity,
                            velocity_text(limits.min_velocity_mps, u))};
    case PumpVerdict::too_fast:
        return {"pump_line.max_velocity", fmt::format("water runs at {} in the line; the maximum is {}", velocity,
                                                      velocity_text(limits.max_velocity_mps, u))};
    case PumpVerdict::falls_behind:
        return {"pump", fmt::format("the pump moves {} here and {} come in: the pit may overflow",
                                    flow_text(duty.point.flow_m3ps, u),
                                    flow_text(job.pumps[check.pump].inflow_m3ps.value_or(0), u))};
    case PumpVerdict::starts_too_often: return {"pump_line.min_cycle", cycle_text(check, limits, u)};
    case PumpVerdict::restarts_at_once: return {"pump", back_text(check, u)};
    }
    return {};
}

} // namespace

std::vector<Finding> pump_findings(const TrenchPlan& trench, const Job& job)
{
    std::vector<Finding> findings;
    if (!trench.water.pump) {
        return findings;
    }
    const auto say = [&](std::string rule, std::string text) {
        findings.push_back({.severity = Severity::warning,
                            .rule = std::move(rule),
                            .text = std::move(text),
                            .at = std::nullopt,
                            .station_m = trench.water.pump->highest_station_m});
    };
    const auto& check = *trench.water.pump;
    if (!check.duty) {
        say("pump", fmt::format("Pump: the line's highest point lies {} below the off level: see pump.rim and the "
                                "heights of the trench. Duty not checked.",
                                length_text(-check.line.static_lift_m, job.rules.units)));
        return findings;
    }
    for (const auto verdict : check.duty->verdicts) {
        auto [rule, text] = verdict_text(verdict, check, job);
        say(std::move(rule), fmt::format("Pump: {}.", text));
    }
    return findings;
}

} // namespace trenchwright
