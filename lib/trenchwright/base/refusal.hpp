#pragma once

#include "trenchwright/base/point.hpp"

#include <optional>
#include <string>

namespace trenchwright {

/// Why an outlet cannot work. A normal result, shown beside the outlets that do.
enum class RefusalKind {
    not_permitted,  ///< the outlet's record says no for this kind of water
    unlawful_place, ///< water may not be led there: sanitary sewer, septic part, well, other people's ground, paving
    setback,        ///< no point of the outlet keeps the required distances
    no_ground,      ///< outside the surveyed ground: one more shot is needed
    pipe_too_large, ///< outside diameter does not fit between gutter and curb top
    blocked,        ///< keep-outs leave no way
    falls_short,    ///< proven: no route drains
    too_deep,       ///< it drains only below the depth limit
    clearance,      ///< too near to a facility, over, under or beside it
    search_budget   ///< stopped by the label budget with nothing found; proves nothing
};

struct Refusal {
    RefusalKind kind = RefusalKind::blocked;
    std::string text;                 ///< the whole reason with figures, in the job's unit system
    std::optional<Point> at;          ///< the place that decides
    std::optional<double> station_m;  ///< from the outlet, along the route that comes nearest to working
    std::optional<double> short_by_m; ///< missing fall, excess depth, or missing distance
    friend bool operator==(const Refusal&, const Refusal&) = default;
};

} // namespace trenchwright
