#pragma once

#include "trenchwright/flow/friction.hpp"

#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// The head that a pump has to make in its discharge line, and where pump and line agree.

/// The line from the pit to where it runs free.
struct PumpLine {
    PressurePipe pipe;
    double length_m = 0;        ///< of all the pressure pipe, along it
    double rising_length_m = 0; ///< of the part between pit and highest point, at most length_m
    double static_lift_m = 0;   ///< from the water at the pump's off level to the line's highest point
    std::vector<PipeFitting> fittings;
    bool check_valve = true;           ///< without one the rising part runs back into the pit
    bool counts_velocity_head = false; ///< small, and left out by most worksheets
    friend bool operator==(const PumpLine&, const PumpLine&) = default;
};

/// Lift, friction in pipe and fittings and, when asked for, velocity head.
/// @throws Error (input) for a line out of range, (internal) for a flow below 0
double total_head_m(const PumpLine& line, double flow_m3ps);

/// Water that runs back into the pit each time the pump stops; 0 with a check valve.
double drains_back_m3(const PumpLine& line);

/// A point of the pump maker's curve.
struct CurvePoint {
    double flow_m3ps = 0;
    double head_m = 0;
    friend bool operator==(const CurvePoint&, const CurvePoint&) = default;
};

/// Head of the pump at a flow: straight between the points, nothing outside them.
/// @throws Error (input) for fewer than two points, flows that do not rise, or heads that do not fall, or below 0
std::optional<double> curve_head_m(std::span<const CurvePoint> curve, double flow_m3ps);

enum class DutyPlace {
    on_curve,
    cannot_lift,        ///< even without flow the lift is as high as the pump's greatest head
    before_first_point, ///< the head is above the curve's first point, which is not at flow 0: no telling
    past_last_point     ///< the pump moves more than its curve shows: no telling how much
};

struct OperatingPoint {
    DutyPlace place = DutyPlace::cannot_lift;
    double flow_m3ps = 0; ///< 0 unless on the curve, as head_m
    double head_m = 0;
    friend bool operator==(const OperatingPoint&, const OperatingPoint&) = default;
};

/// Where the pump's head and the line's are the same, to the last bit of the flow. The curve is never extrapolated.
/// @throws as total_head_m and curve_head_m
OperatingPoint operating_point(std::span<const CurvePoint> curve, const PumpLine& line);

} // namespace trenchwright
