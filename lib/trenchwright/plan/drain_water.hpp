#pragma once

#include "trenchwright/flow/pump_duty.hpp"
#include "trenchwright/flow/reach.hpp"
#include "trenchwright/flow/uplift.hpp"
#include "trenchwright/geom/shapes.hpp"

#include <cstddef>
#include <optional>

namespace trenchwright {

/// A stretch of a trench in which the flow does not change, and the water in it.
struct Reach {
    Interval span;                                  ///< stations of its trench
    double min_fall_ratio = 0;                      ///< of the pipe as laid; 0 in a pump's line
    std::optional<double> flow_m3ps = std::nullopt; ///< nothing where some source above has none stated
    /// In the pipe that the drain is planned with; with a flow of 0 where it is not known. Nothing in a pump's line.
    std::optional<ReachFlow> as_planned = std::nullopt;
    /// In the smallest pipe of WaterRules::pipes that carries the flow and is no smaller than one above it; `pipe` is
    /// an index into that list. Nothing without a known flow.
    std::optional<ReachFlow> sized = std::nullopt;
    friend bool operator==(const Reach&, const Reach&) = default;
};

/// A pump in its pit and its line, as the trench lays it.
struct PumpCheck {
    std::size_t pump = 0; ///< index into Job::pumps
    double off_level_elev_m = 0;
    double highest_elev_m = 0; ///< of the line's invert
    double highest_station_m = 0;
    PumpLine line;
    double between_levels_m3 = 0;
    bool inflow_known = false;    ///< false: judged at the inflow that makes the pump start most often
    std::optional<PumpDuty> duty; ///< nothing when the line's highest point lies below the off level
    Uplift uplift;
};

} // namespace trenchwright
