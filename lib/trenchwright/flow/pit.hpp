#pragma once

namespace trenchwright {

/// How a pump starts and stops in its pit.

double round_pit_volume_m3(double diameter_m, double depth_m);

/// Water between the pump's levels.
struct PitStorage {
    double between_levels_m3 = 0; ///< from the on level down to the off level
    double drains_back_m3 = 0;    ///< runs back from the line after each stop, see flow/pump_line.hpp
    friend bool operator==(const PitStorage&, const PitStorage&) = default;
};

enum class PitState {
    dry,             ///< no inflow: never starts
    cycles,          ///< fills, runs, stops
    falls_behind,    ///< the inflow is as much as the pump moves, or more: never stops, and the pit may overflow
    restarts_at_once ///< what drains back fills the pit to the on level: needs a check valve or a larger pit
};

struct PumpCycle {
    PitState state = PitState::dry;
    double fill_s = 0; ///< 0 unless it cycles, as run_s
    double run_s = 0;
    /// From start to start; starts per hour are 3600 divided by this.
    [[nodiscard]] double cycle_s() const { return fill_s + run_s; }
    friend bool operator==(const PumpCycle&, const PumpCycle&) = default;
};

/// Fills in (between - back) / inflow and runs for between / (pump - inflow). The pump's flow is taken the same from
/// on to off level; its flow at the off level is the least and so the safe one.
/// @throws Error (input) for a pit without storage, (internal) for a pump flow that is not above 0 or an inflow below 0
PumpCycle pump_cycle(const PitStorage& pit, double inflow_m3ps, double pump_m3ps);

/// The inflow that makes the pump start most often, with its cycle. Half the pump's flow where nothing drains back:
/// 4 between / pump from start to start. In general, with a = between - back and b = between,
/// inflow = pump sqrt a / (sqrt a + sqrt b) and cycle = (sqrt a + sqrt b)^2 / pump, the least of a/q + b/(pump - q).
struct WorstCycle {
    double inflow_m3ps = 0;
    PumpCycle cycle;
};
WorstCycle worst_cycle(const PitStorage& pit, double pump_m3ps);

} // namespace trenchwright
