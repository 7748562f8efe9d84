#include "trenchwright/flow/pump_duty.hpp"

#include "trenchwright/flow/checks.hpp"

namespace trenchwright {

namespace {

void check(const PumpLimits& limits)
{
    check_not_below_zero(ErrorKind::input, "least velocity in the pump's line (m/s)", limits.min_velocity_mps);
    check_above_zero(ErrorKind::input, "greatest less least velocity in the pump's line (m/s)",
                     limits.max_velocity_mps - limits.min_velocity_mps);
    check_not_below_zero(ErrorKind::input, "least time from start to start (s)", limits.min_cycle_s);
}

/// The shortest cycle over inflows up to the greatest expected: a cycle gets shorter up to the worst inflow.
WorstCycle worst_expected(const PitStorage& pit, double inflow_m3ps, double pump_m3ps)
{
    const WorstCycle worst = worst_cycle(pit, pump_m3ps);
    if (worst.inflow_m3ps <= inflow_m3ps) {
        return worst;
    }
    return {.inflow_m3ps = inflow_m3ps, .cycle = pump_cycle(pit, inflow_m3ps, pump_m3ps)};
}

std::vector<PumpVerdict> verdicts(const PumpDuty& duty, const PumpLimits& limits)
{
    if (duty.point.place == DutyPlace::cannot_lift) {
        return {PumpVerdict::cannot_lift};
    }
    if (duty.point.place != DutyPlace::on_curve) {
        return {PumpVerdict::off_the_curve};
    }
    std::vector<PumpVerdict> found;
    const auto say_if = [&](bool holds, PumpVerdict verdict) {
        if (holds) {
            found.push_back(verdict);
        }
    };
    const bool cycles = duty.worst.cycle.state == PitState::cycles;
    say_if(duty.velocity_mps < limits.min_velocity_mps, PumpVerdict::too_slow);
    say_if(duty.velocity_mps > limits.max_velocity_mps, PumpVerdict::too_fast);
    say_if(duty.cycle.state == PitState::falls_behind, PumpVerdict::falls_behind);
    say_if(cycles && duty.worst.cycle.cycle_s() < limits.min_cycle_s, PumpVerdict::starts_too_often);
    say_if(duty.worst.cycle.state == PitState::restarts_at_once, PumpVerdict::restarts_at_once);
    return found;
}

} // namespace

PumpDuty pump_duty(std::span<const CurvePoint> curve, const PumpLine& line, double between_levels_m3,
                   double inflow_m3ps, const PumpLimits& limits)
{
    check(limits);
    check_above_zero(ErrorKind::input, "water between the pump's on and off level (m3)", between_levels_m3);
    check_not_below_zero(ErrorKind::internal, "inflow of the pit (m3/s)", inflow_m3ps);
    PumpDuty duty;
    duty.point = operating_point(curve, line);
    duty.drains_back_m3 = drains_back_m3(line);
    if (duty.point.place == DutyPlace::on_curve) {
        const PitStorage pit = {.between_levels_m3 = between_levels_m3, .drains_back_m3 = duty.drains_back_m3};
        duty.velocity_mps = filled_velocity_mps(duty.point.flow_m3ps, line.pipe.bore_m);
        duty.cycle = pump_cycle(pit, inflow_m3ps, duty.point.flow_m3ps);
        duty.worst = worst_expected(pit, inflow_m3ps, duty.point.flow_m3ps);
    }
    duty.verdicts = verdicts(duty, limits);
    return duty;
}

} // namespace trenchwright
