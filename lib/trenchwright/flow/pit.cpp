#include "trenchwright/flow/pit.hpp"

#include "trenchwright/flow/checks.hpp"

#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

void check(const PitStorage& pit)
{
    check_above_zero(ErrorKind::input, "water between the pump's on and off level (m3)", pit.between_levels_m3);
    check_not_below_zero(ErrorKind::input, "water that drains back (m3)", pit.drains_back_m3);
}

} // namespace

double round_pit_volume_m3(double diameter_m, double depth_m)
{
    check_above_zero(ErrorKind::input, "diameter of the pit (m)", diameter_m);
    check_not_below_zero(ErrorKind::input, "depth in the pit (m)", depth_m);
    return std::numbers::pi / 4 * diameter_m * diameter_m * depth_m;
}

PumpCycle pump_cycle(const PitStorage& pit, double inflow_m3ps, double pump_m3ps)
{
    check(pit);
    check_not_below_zero(ErrorKind::internal, "inflow of the pit (m3/s)", inflow_m3ps);
    check_above_zero(ErrorKind::internal, "flow of the pump (m3/s)", pump_m3ps);
    if (inflow_m3ps == 0) {
        return {.state = PitState::dry};
    }
    if (inflow_m3ps >= pump_m3ps) {
        return {.state = PitState::falls_behind};
    }
    if (pit.drains_back_m3 >= pit.between_levels_m3) {
        return {.state = PitState::restarts_at_once};
    }
    return {.state = PitState::cycles,
            .fill_s = (pit.between_levels_m3 - pit.drains_back_m3) / inflow_m3ps,
            .run_s = pit.between_levels_m3 / (pump_m3ps - inflow_m3ps)};
}

WorstCycle worst_cycle(const PitStorage& pit, double pump_m3ps)
{
    check(pit);
    check_above_zero(ErrorKind::internal, "flow of the pump (m3/s)", pump_m3ps);
    if (pit.drains_back_m3 >= pit.between_levels_m3) {
        return {.inflow_m3ps = 0, .cycle = {.state = PitState::restarts_at_once}};
    }
    const double fills = std::sqrt(pit.between_levels_m3 - pit.drains_back_m3);
    const double runs = std::sqrt(pit.between_levels_m3);
    const double inflow_m3ps = pump_m3ps * fills / (fills + runs);
    return {.inflow_m3ps = inflow_m3ps, .cycle = pump_cycle(pit, inflow_m3ps, pump_m3ps)};
}

} // namespace trenchwright
