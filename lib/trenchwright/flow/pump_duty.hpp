#pragma once

#include "trenchwright/flow/pit.hpp"
#include "trenchwright/flow/pump_line.hpp"

#include <span>
#include <vector>

namespace trenchwright {

/// Everything about one pump in its pit and line, and what is wrong with it.

/// What the user allows. Every value is a setting with a source.
struct PumpLimits {
    double min_velocity_mps = 0; ///< in the pressure pipe, so that it carries dirt along; 0 or more
    double max_velocity_mps = 0; ///< above the least
    double min_cycle_s = 0;      ///< from start to start, as the pump's maker asks; 0 asks nothing
    friend bool operator==(const PumpLimits&, const PumpLimits&) = default;
};

enum class PumpVerdict {
    cannot_lift,      ///< the pump does not reach the line's highest point
    off_the_curve,    ///< the duty lies outside the curve's points: more of the curve is needed
    too_slow,         ///< dirt settles in the line
    too_fast,         ///< wears, and hammers when the check valve shuts
    falls_behind,     ///< the inflow is as much as the pump moves, or more
    starts_too_often, ///< at the worst inflow that can come
    restarts_at_once  ///< what drains back starts the pump again
};

struct PumpDuty {
    OperatingPoint point;
    double velocity_mps = 0;   ///< in the line; 0 unless on the curve, as all below but drains_back_m3
    double drains_back_m3 = 0; ///< each time the pump stops
    PumpCycle cycle;           ///< at the inflow given
    WorstCycle worst;          ///< at whatever inflow up to the given one makes the pump start most often
    std::vector<PumpVerdict> verdicts;
};

/// @param between_levels_m3  water in the pit from the on level down to the off level
/// @param inflow_m3ps        the greatest that is expected; smaller ones come too
/// @throws Error (input) for a curve, line, pit or limit out of range, (internal) for an inflow below 0
PumpDuty pump_duty(std::span<const CurvePoint> curve, const PumpLine& line, double between_levels_m3,
                   double inflow_m3ps, const PumpLimits& limits);

} // namespace trenchwright
