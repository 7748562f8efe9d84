#pragma once

#include "trenchwright/flow/pump_duty.hpp"
#include "trenchwright/flow/reach.hpp"
#include "trenchwright/flow/uplift.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// A gravity pipe that a reach may take.
struct PipeChoice {
    std::string name;
    bool use = true;
    double outside_diameter_m = 0;
    double wall_m = 0;
    bool smooth_inside = true;
    double price_per_m = 0; ///< money, pipe alone
    friend bool operator==(const PipeChoice&, const PipeChoice&) = default;
};

/// How one trench of a drain joins another.
struct JunctionRules {
    double angle_rad = 0;       ///< between the two, in flow direction
    double rise_m = 0;          ///< branch's invert above the trunk's, at least
    double pressure_rise_m = 0; ///< the same for a pump's line, which enters from above
    double max_drop_m = 0;      ///< branch's invert above the trunk's, at most
    double price = 0;           ///< money, one fitting, set
    friend bool operator==(const JunctionRules&, const JunctionRules&) = default;
};

/// The pump's pipe and what its fittings cost in pipe.
struct PumpLineRules {
    double outside_diameter_m = 0;
    double wall_m = 0;
    double hazen_williams_c = 0;
    double elbow_90_bores_ratio = 0;
    double elbow_45_bores_ratio = 0;
    double tee_through_bores_ratio = 0;
    double tee_branch_bores_ratio = 0;
    double gate_valve_bores_ratio = 0;
    double check_valve_bores_ratio = 0;
    std::string joint; ///< "loose", "open" or "closed": how the line ends in larger pipe
    PumpLimits limits;
    friend bool operator==(const PumpLineRules&, const PumpLineRules&) = default;
};

/// Everything the water in the drain is judged by.
struct WaterRules {
    double design_rain_mps = 0;   ///< 0: not supplied
    double roof_runoff_share = 0; ///< of the rain
    double smooth_manning_n = 0;
    double corrugated_manning_n = 0;
    bool planned_smooth_inside = true; ///< of the pipe of drain.pipe_*
    FlowLimits limits;
    std::vector<PipeChoice> pipes; ///< 3, 4 and 6 in, in this order
    PumpLineRules pump_line;
    UpliftRules uplift;
    JunctionRules junction;
    friend bool operator==(const WaterRules&, const WaterRules&) = default;
};

} // namespace trenchwright
