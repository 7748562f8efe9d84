#pragma once

#include <optional>

namespace trenchwright {

struct OutletOutcome;

/// Whether the pipe planned carries the water that comes.
enum class PipeLoadState {
    carries,
    too_small, ///< somewhere more comes than it carries at the greatest depth allowed
    not_known, ///< no reach is too small, but the flow of some is not known
    pumped     ///< the whole line is under pressure
};

/// The reach of an outlet's drain that is loaded most.
struct PipeLoad {
    PipeLoadState state = PipeLoadState::not_known;
    std::optional<double> flow_m3ps = {};     ///< nothing where no flow is known
    std::optional<double> capacity_m3ps = {}; ///< of the pipe planned, at that reach's fall and the greatest depth
};
PipeLoad pipe_load(const OutletOutcome& outcome);

} // namespace trenchwright
