#include "trenchwright/flow/pipe_capacity.hpp"

#include "trenchwright/flow/checks.hpp"
#include "trenchwright/flow/part_full.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

void check(const PipeBore& pipe)
{
    check_above_zero(ErrorKind::input, "bore of the pipe (m)", pipe.bore_m);
    check_above_zero(ErrorKind::input, "Manning's n", pipe.manning_n);
}

double area_m2(const PipeBore& pipe)
{
    return std::numbers::pi / 4 * pipe.bore_m * pipe.bore_m;
}

/// Full velocity at a fall of 1, so that V = this x sqrt(fall).
double velocity_at_unit_fall(const PipeBore& pipe)
{
    check(pipe);
    return std::pow(pipe.bore_m / 4, 2.0 / 3) / pipe.manning_n;
}

/// The share of full flow that counts as capacity; from a depth of 0.82 on, where full flow is reached, all of it.
double usable_flow_ratio(double max_depth_ratio)
{
    check_share(ErrorKind::input, "greatest depth of water / bore", max_depth_ratio, false);
    return std::min(1.0, part_full(max_depth_ratio).flow_ratio);
}

} // namespace

PipeFlow full_flow(const PipeBore& pipe, double fall_ratio)
{
    check_not_below_zero(ErrorKind::internal, "fall of the pipe", fall_ratio);
    const double velocity_mps = velocity_at_unit_fall(pipe) * std::sqrt(fall_ratio);
    return {.flow_m3ps = velocity_mps * area_m2(pipe), .velocity_mps = velocity_mps};
}

PipeFlow flow_at_depth(const PipeBore& pipe, double fall_ratio, double depth_ratio)
{
    const PipeFlow full = full_flow(pipe, fall_ratio);
    const PartFull part = part_full(depth_ratio);
    return {.flow_m3ps = full.flow_m3ps * part.flow_ratio, .velocity_mps = full.velocity_mps * part.velocity_ratio};
}

std::optional<double> flow_depth_ratio(const PipeBore& pipe, double fall_ratio, double flow_m3ps)
{
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    const double full_m3ps = full_flow(pipe, fall_ratio).flow_m3ps;
    if (flow_m3ps == 0) {
        return 0;
    }
    // Compared before dividing: a pipe without fall has no full flow to divide by.
    if (!(flow_m3ps <= full_m3ps * max_flow_ratio())) {
        return std::nullopt;
    }
    return part_full_depth_ratio(std::min(flow_m3ps / full_m3ps, max_flow_ratio()));
}

double capacity_m3ps(const PipeBore& pipe, double fall_ratio, double max_depth_ratio)
{
    return full_flow(pipe, fall_ratio).flow_m3ps * usable_flow_ratio(max_depth_ratio);
}

double fall_for_velocity_ratio(const PipeBore& pipe, double velocity_mps)
{
    check_not_below_zero(ErrorKind::internal, "velocity (m/s)", velocity_mps);
    const double root = velocity_mps / velocity_at_unit_fall(pipe);
    return root * root;
}

double fall_for_capacity_ratio(const PipeBore& pipe, double flow_m3ps, double max_depth_ratio)
{
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    const double root = flow_m3ps / (velocity_at_unit_fall(pipe) * area_m2(pipe) * usable_flow_ratio(max_depth_ratio));
    return root * root;
}

} // namespace trenchwright
