#pragma once

#include <optional>

namespace trenchwright {

/// What a round pipe carries by gravity: Manning's formula, V = R^(2/3) S^(1/2) / n in SI, with the hydraulic radius R
/// a quarter of the bore for a full pipe and the part-full ratios of flow/part_full.hpp below that.
///
/// Source: FHWA HEC-22, 4th ed., eq. 4.5 (K is exactly 1 in SI; its US figure 1.49 is 1.4859 rounded, 0.27 % high).
/// Checked against code tables and minimum-grade tables in tests/flow_capacity_test.cpp.
/// All throw Error (input) for a bore or n that is not above 0 and (internal) for any other value out of range.

/// What hydraulics needs to know about a pipe; the caller keeps the rest under the same index.
struct PipeBore {
    double bore_m = 0;    ///< inside diameter
    double manning_n = 0; ///< roughness by material, s / m^(1/3); the same figure in both unit systems
    friend bool operator==(const PipeBore&, const PipeBore&) = default;
};

struct PipeFlow {
    double flow_m3ps = 0;
    double velocity_mps = 0;
    friend bool operator==(const PipeFlow&, const PipeFlow&) = default;
};

/// Running full and not under pressure. A fall of 0 carries nothing.
PipeFlow full_flow(const PipeBore& pipe, double fall_ratio);

/// Running at a depth of 0 to 1 of the bore.
PipeFlow flow_at_depth(const PipeBore& pipe, double fall_ratio, double depth_ratio);

/// How deep the flow runs in the pipe: the lower depth where there are two (from full flow to 1.0757 of it).
/// @return nothing when the flow is above 1.0757 of the full flow: the pipe does not carry it without pressure
std::optional<double> flow_depth_ratio(const PipeBore& pipe, double fall_ratio, double flow_m3ps);

/// The most that may be asked of a pipe filled to no more than the given share of its bore, and never more than it
/// carries full: the 7 % above full flow are lost as soon as a wave touches the crown.
double capacity_m3ps(const PipeBore& pipe, double fall_ratio, double max_depth_ratio);

/// The least fall at which the full pipe reaches the velocity.
double fall_for_velocity_ratio(const PipeBore& pipe, double velocity_mps);

/// The least fall at which the pipe has the capacity.
double fall_for_capacity_ratio(const PipeBore& pipe, double flow_m3ps, double max_depth_ratio);

} // namespace trenchwright
