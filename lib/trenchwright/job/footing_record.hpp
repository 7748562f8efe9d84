#pragma once

#include "trenchwright/job/job_node.hpp"

#include <optional>

namespace trenchwright {

/// The footing under the foundation's walls, as the job file states it in [footing].
struct FootingRecord {
    std::optional<double> bottom_elev_m = {};  ///< one of these three
    std::optional<double> below_floor_m = {};  ///< under the floor inside
    std::optional<double> below_ground_m = {}; ///< under the ground outside, where that is highest along the outline
    double outer_edge_m = 0;                   ///< foundation outline to the outer edge of the footing, outward
    std::optional<double> inner_edge_m = {};   ///< the same to its inner edge, inward; nothing: not known
    friend bool operator==(const FootingRecord&, const FootingRecord&) = default;
};

/// @throws Error (input) naming file, line, key and value
FootingRecord footing_from(const JobNode& node);

} // namespace trenchwright
