#include "trenchwright/flow/reach.hpp"

#include "trenchwright/flow/checks.hpp"

#include <cmath>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

void check(const FlowLimits& limits)
{
    check_not_below_zero(ErrorKind::input, "least velocity (m/s)", limits.min_velocity_mps);
    check_above_zero(ErrorKind::input, "greatest velocity less least velocity (m/s)",
                     limits.max_velocity_mps - limits.min_velocity_mps);
    check_share(ErrorKind::input, "greatest depth of water / bore", limits.max_depth_ratio, false);
}

/// A pipe that does not carry its flow with a free surface runs full under pressure.
void run_full(ReachFlow& reach, double flow_m3ps, const PipeBore& pipe)
{
    reach.depth_ratio = 1;
    reach.velocity_mps = flow_m3ps / (std::numbers::pi / 4 * pipe.bore_m * pipe.bore_m);
}

bool is_too_slow(const ReachFlow& reach, const FlowLimits& limits)
{
    if (limits.min_velocity_when_full) {
        return reach.full_velocity_mps < limits.min_velocity_mps;
    }
    return reach.velocity_mps > 0 && reach.velocity_mps < limits.min_velocity_mps;
}

std::vector<FlowVerdict> verdicts(const ReachFlow& reach, const FlowLimits& limits)
{
    std::vector<FlowVerdict> found;
    if (is_too_slow(reach, limits)) {
        found.push_back(FlowVerdict::too_slow);
    }
    if (reach.velocity_mps > limits.max_velocity_mps) {
        found.push_back(FlowVerdict::too_fast);
    }
    if (reach.spare_m3ps < 0) {
        found.push_back(FlowVerdict::too_full);
    }
    return found;
}

double bore_or_infinity_m(std::span<const PipeBore> pipes, std::optional<std::size_t> at)
{
    return at ? pipes[*at].bore_m : std::numeric_limits<double>::infinity();
}

std::optional<std::size_t> smallest_that_carries(double flow_m3ps, double fall_ratio, std::span<const PipeBore> pipes,
                                                 double max_depth_ratio)
{
    std::optional<std::size_t> smallest;
    for (std::size_t i = 0; i < pipes.size(); ++i) {
        const bool carries = capacity_m3ps(pipes[i], fall_ratio, max_depth_ratio) >= flow_m3ps;
        if (carries && pipes[i].bore_m < bore_or_infinity_m(pipes, smallest)) {
            smallest = i;
        }
    }
    return smallest;
}

std::size_t largest_capacity(double fall_ratio, std::span<const PipeBore> pipes)
{
    std::size_t best = 0;
    for (std::size_t i = 1; i < pipes.size(); ++i) {
        if (full_flow(pipes[i], fall_ratio).flow_m3ps > full_flow(pipes[best], fall_ratio).flow_m3ps) {
            best = i;
        }
    }
    return best;
}

} // namespace

ReachFlow reach_flow(double flow_m3ps, double fall_ratio, const PipeBore& pipe, const FlowLimits& limits)
{
    check(limits);
    const auto depth_ratio = flow_depth_ratio(pipe, fall_ratio, flow_m3ps);
    ReachFlow reach;
    reach.full_velocity_mps = full_flow(pipe, fall_ratio).velocity_mps;
    reach.capacity_m3ps = capacity_m3ps(pipe, fall_ratio, limits.max_depth_ratio);
    reach.spare_m3ps = reach.capacity_m3ps - flow_m3ps;
    if (depth_ratio) {
        reach.depth_ratio = *depth_ratio;
        reach.velocity_mps = flow_at_depth(pipe, fall_ratio, *depth_ratio).velocity_mps;
    } else {
        run_full(reach, flow_m3ps, pipe);
    }
    reach.verdicts = verdicts(reach, limits);
    if (reach.spare_m3ps >= 0) {
        reach.pipe = 0;
    }
    return reach;
}

ReachFlow size_reach(double flow_m3ps, double fall_ratio, std::span<const PipeBore> pipes, const FlowLimits& limits)
{
    if (pipes.empty()) {
        throw Error(ErrorKind::input, "no pipe size is allowed: a drain needs at least one");
    }
    check(limits);
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    const auto chosen = smallest_that_carries(flow_m3ps, fall_ratio, pipes, limits.max_depth_ratio);
    const std::size_t shown = chosen.value_or(largest_capacity(fall_ratio, pipes));
    ReachFlow reach = reach_flow(flow_m3ps, fall_ratio, pipes[shown], limits);
    reach.pipe = chosen;
    if (!chosen) {
        reach.verdicts.push_back(FlowVerdict::no_pipe_carries);
    }
    return reach;
}

std::optional<std::size_t> pipes_side_by_side(double flow_m3ps, double fall_ratio, const PipeBore& pipe,
                                              const FlowLimits& limits)
{
    check(limits);
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    const double each_m3ps = capacity_m3ps(pipe, fall_ratio, limits.max_depth_ratio);
    const double count = std::ceil(flow_m3ps / each_m3ps);
    // A fall of 0 divides by 0; a count beyond any trench is as good as none.
    const bool countable = count >= 0 && count <= 1e6;
    return countable ? std::optional(count < 1 ? std::size_t{1} : static_cast<std::size_t>(count)) : std::nullopt;
}

} // namespace trenchwright
