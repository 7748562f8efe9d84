#pragma once

#include "trenchwright/flow/pipe_capacity.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// Sizes one reach: the smallest pipe that carries its flow at its laid fall, and how the water runs in it.

/// What the user allows. Every value is a setting with a source.
struct FlowLimits {
    double min_velocity_mps = 0; ///< 0 or more
    double max_velocity_mps = 0; ///< above the least
    double max_depth_ratio = 1;  ///< of the bore, above 0 and at most 1
    /// Codes ask the least velocity of the pipe running full (ASPE Data Book vol. 2, p. 88; Lakeside TX 3.3.8).
    /// False asks it of the flow itself, which in a pipe that is never full is the stricter.
    bool min_velocity_when_full = true;
    friend bool operator==(const FlowLimits&, const FlowLimits&) = default;
};

enum class FlowVerdict {
    too_slow,       ///< dirt settles
    too_fast,       ///< wears, and jumps at bends
    too_full,       ///< deeper than allowed, or more than the pipe carries full
    no_pipe_carries ///< none of the list has the capacity
};

/// The water in one reach.
struct ReachFlow {
    std::optional<std::size_t> pipe; ///< index into the list; nothing when no pipe of it carries the flow
    double depth_ratio = 0;          ///< of the bore; 1 where the pipe is under pressure
    double velocity_mps = 0;         ///< of this flow; 0 without flow
    double full_velocity_mps = 0;    ///< of the pipe running full at this fall
    double capacity_m3ps = 0;        ///< at the greatest depth allowed, and no more than full
    double spare_m3ps = 0;           ///< capacity less flow; below 0 when too full
    std::vector<FlowVerdict> verdicts;
    friend bool operator==(const ReachFlow&, const ReachFlow&) = default;
};

/// How the flow runs in a pipe already chosen. `pipe` is 0 unless it is too full.
/// @throws Error (input) for a pipe or limit out of range, (internal) for a flow or fall below 0
ReachFlow reach_flow(double flow_m3ps, double fall_ratio, const PipeBore& pipe, const FlowLimits& limits);

/// The pipe of least bore that has the capacity; of equal bores the first. Where none has it, `pipe` is nothing and
/// the figures are those of the pipe with the greatest capacity.
/// @throws Error (input) for an empty list, and as reach_flow
ReachFlow size_reach(double flow_m3ps, double fall_ratio, std::span<const PipeBore> pipes, const FlowLimits& limits);

/// How many of the same pipe, laid side by side, carry the flow: 1 or more; nothing when the pipe has no capacity.
/// For a curb too low for the pipe that the flow needs.
std::optional<std::size_t> pipes_side_by_side(double flow_m3ps, double fall_ratio, const PipeBore& pipe,
                                              const FlowLimits& limits);

} // namespace trenchwright
