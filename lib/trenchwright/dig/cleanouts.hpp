#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/route/route.hpp"

#include <vector>

namespace trenchwright {

/// Where a drain must be open to a cleaning tool. Every value is a setting.
struct CleanoutRules {
    double spacing_m = 0;    ///< pipe between two cleanouts, or below the last one, at most
    double max_turn_rad = 0; ///< sum of the bends between two cleanouts that none of them serves, at most
    double served_m = 0;     ///< bends within this below a cleanout are served by it and not counted
    friend bool operator==(const CleanoutRules&, const CleanoutRules&) = default;
};

enum class CleanoutReason { upper_end, spacing, bends };

struct Cleanout {
    double station_m = 0;
    Point at;
    CleanoutReason reason = CleanoutReason::upper_end;
    friend bool operator==(const Cleanout&, const Cleanout&) = default;
};

/// Cleanouts of one trench: at its upper end, evenly between so that none is farther from the next than the spacing,
/// and at the bend whose turn would bring the sum above the limit. The lower end (outlet or junction) gets none.
/// A bend at a cleanout is served by it.
/// @param line   from the outlet up to the source
/// @param bends  by rising station
/// @param keep_off  stretches in which none stands where it can be moved out of them, up or down the trench, with all
///                  else kept; the one at the upper end never moves
/// @return by rising station; the last is the upper end
/// @throws Error (internal) for a spacing that is not above 0 or a limit that is negative, NaN included
/// Source: Chicago Municipal Code 18-29-708.3.1 for the spacing, IPC 708.1.4 for the bends: docs/sources.md, J4, J5.
std::vector<Cleanout> cleanouts(const Polyline& line, const std::vector<Bend>& bends, const CleanoutRules& rules,
                                const std::vector<Interval>& keep_off = {});

} // namespace trenchwright
