#include "trenchwright/plan/pipe_load.hpp"

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_state.hpp"

#include <algorithm>
#include <limits>

namespace trenchwright {

namespace {

PipeLoadState state_of(const Reach& reach)
{
    if (!reach.flow_m3ps) {
        return PipeLoadState::not_known;
    }
    const auto& verdicts = reach.as_planned->verdicts;
    const bool small = std::ranges::find(verdicts, FlowVerdict::too_full) != verdicts.end();
    return small ? PipeLoadState::too_small : PipeLoadState::carries;
}

/// Too small anywhere says more than not known somewhere, and that more than a reach that carries.
PipeLoadState graver(PipeLoadState a, PipeLoadState b)
{
    for (const auto state : {PipeLoadState::too_small, PipeLoadState::not_known, PipeLoadState::carries}) {
        if (a == state || b == state) {
            return state;
        }
    }
    return PipeLoadState::pumped;
}

/// Of its capacity; below 0 where the flow is not known.
double load_share(const Reach& reach)
{
    if (!reach.flow_m3ps) {
        return -1;
    }
    const double capacity = reach.as_planned->capacity_m3ps;
    return capacity > 0 ? *reach.flow_m3ps / capacity : std::numeric_limits<double>::infinity();
}

} // namespace

PipeLoad pipe_load(const OutletOutcome& outcome)
{
    PipeLoad load{.state = PipeLoadState::pumped};
    double most = -1;
    for (const auto* trench : trenches_of(&outcome)) {
        for (const auto& reach : trench->water.reaches) {
            if (!reach.as_planned) {
                continue;
            }
            load.state = graver(load.state, state_of(reach));
            if (const auto share = load_share(reach); share > most) {
                most = share;
                load.flow_m3ps = reach.flow_m3ps;
                load.capacity_m3ps = reach.as_planned->capacity_m3ps;
            }
        }
    }
    return load;
}

} // namespace trenchwright
