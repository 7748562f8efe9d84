#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/plan/pipe_load.hpp"

#include <utility>

namespace trenchwright {

namespace {

JsonValue verdict_json(FlowVerdict verdict)
{
    switch (verdict) {
    case FlowVerdict::too_slow: return "too_slow";
    case FlowVerdict::too_fast: return "too_fast";
    case FlowVerdict::too_full: return "too_full";
    case FlowVerdict::no_pipe_carries: return "no_pipe_carries";
    }
    return {};
}

JsonValue verdict_json(PumpVerdict verdict)
{
    switch (verdict) {
    case PumpVerdict::cannot_lift: return "cannot_lift";
    case PumpVerdict::off_the_curve: return "off_the_curve";
    case PumpVerdict::too_slow: return "too_slow";
    case PumpVerdict::too_fast: return "too_fast";
    case PumpVerdict::falls_behind: return "falls_behind";
    case PumpVerdict::starts_too_often: return "starts_too_often";
    case PumpVerdict::restarts_at_once: return "restarts_at_once";
    }
    return {};
}

template <class Verdicts> JsonList verdicts_json(const Verdicts& verdicts)
{
    return json_list(verdicts, [](auto verdict) { return verdict_json(verdict); });
}

JsonObject flow_json(const ReachFlow& flow)
{
    return {{"depth_ratio", flow.depth_ratio},
            {"velocity_mps", flow.velocity_mps},
            {"full_velocity_mps", flow.full_velocity_mps},
            {"capacity_m3ps", flow.capacity_m3ps},
            {"spare_m3ps", flow.spare_m3ps},
            {"verdicts", verdicts_json(flow.verdicts)}};
}

JsonValue planned_json(const Reach& reach)
{
    return reach.as_planned ? JsonValue(flow_json(*reach.as_planned)) : JsonValue();
}

JsonValue sized_json(const Reach& reach, const WaterRules& rules)
{
    if (!reach.sized) {
        return {};
    }
    JsonObject sized{{"pipe", reach.sized->pipe ? JsonValue(rules.pipes.at(*reach.sized->pipe).name) : JsonValue()}};
    auto flow = flow_json(*reach.sized);
    sized.insert(sized.end(), std::make_move_iterator(flow.begin()), std::make_move_iterator(flow.end()));
    return sized;
}

JsonValue duty_json(const PumpDuty& duty)
{
    const bool known = duty.point.place == DutyPlace::on_curve;
    const bool cycles = known && duty.worst.cycle.state == PitState::cycles;
    const auto if_known = [](bool holds, double figure) { return holds ? JsonValue(figure) : JsonValue(); };
    return JsonObject{{"flow_m3ps", if_known(known, duty.point.flow_m3ps)},
                      {"head_m", if_known(known, duty.point.head_m)},
                      {"velocity_mps", if_known(known, duty.velocity_mps)},
                      {"drains_back_m3", duty.drains_back_m3},
                      {"worst_inflow_m3ps", if_known(cycles, duty.worst.inflow_m3ps)},
                      {"worst_cycle_s", if_known(cycles, duty.worst.cycle.cycle_s())},
                      {"verdicts", verdicts_json(duty.verdicts)}};
}

JsonObject uplift_json(const Uplift& uplift)
{
    return {{"displaced_kg", uplift.displaced_kg},
            {"holding_kg", uplift.holding_kg},
            {"net_kg", uplift.net_kg},
            {"concrete_m3", uplift.concrete_m3},
            {"holds", uplift.holds},
            {"walls_unknown", uplift.walls_unknown}};
}

JsonValue state_json(PipeLoadState state)
{
    switch (state) {
    case PipeLoadState::carries: return "carries";
    case PipeLoadState::too_small: return "too_small";
    case PipeLoadState::not_known: return "flow_not_known";
    case PipeLoadState::pumped: return "pumped";
    }
    return {};
}

} // namespace

JsonValue json_pipe_load(const OutletOutcome& outcome)
{
    const auto load = pipe_load(outcome);
    return JsonObject{
        {"state", state_json(load.state)}, {"flow_m3ps", load.flow_m3ps}, {"capacity_m3ps", load.capacity_m3ps}};
}

JsonList json_reaches(const TrenchPlan& trench, const WaterRules& rules)
{
    return json_list(trench.water.reaches, [&](const Reach& reach) -> JsonValue {
        return JsonObject{{"from_m", reach.span.from_m},
                          {"to_m", reach.span.to_m},
                          {"min_fall_ratio", reach.min_fall_ratio},
                          {"flow_m3ps", reach.flow_m3ps},
                          {"as_planned", planned_json(reach)},
                          {"sized", sized_json(reach, rules)}};
    });
}

JsonValue json_pump(const TrenchPlan& trench)
{
    if (!trench.water.pump) {
        return {};
    }
    const auto& check = *trench.water.pump;
    return JsonObject{{"off_level_elev_m", check.off_level_elev_m},
                      {"highest_elev_m", check.highest_elev_m},
                      {"highest_station_m", check.highest_station_m},
                      {"static_lift_m", check.line.static_lift_m},
                      {"length_m", check.line.length_m},
                      {"fittings_length_m", fittings_length_m(check.line.fittings)},
                      {"check_valve", check.line.check_valve},
                      {"between_levels_m3", check.between_levels_m3},
                      {"inflow_known", check.inflow_known},
                      {"duty", check.duty ? duty_json(*check.duty) : JsonValue()},
                      {"uplift", uplift_json(check.uplift)}};
}

} // namespace trenchwright
