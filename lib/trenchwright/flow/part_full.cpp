#include "trenchwright/flow/part_full.hpp"

#include "trenchwright/flow/checks.hpp"
#include "trenchwright/flow/turning_point.hpp"

#include <cmath>
#include <numbers>

namespace trenchwright {

PartFull part_full(double depth_ratio)
{
    check_share(ErrorKind::internal, "depth of water / bore", depth_ratio, true);
    if (depth_ratio == 0) {
        return {};
    }
    const double angle = 4 * std::asin(std::sqrt(depth_ratio));
    const double segment = angle - std::sin(angle);
    PartFull part;
    part.area_ratio = segment / (2 * std::numbers::pi);
    part.hydraulic_radius_ratio = segment / angle;
    part.velocity_ratio = std::pow(part.hydraulic_radius_ratio, 2.0 / 3);
    part.flow_ratio = part.area_ratio * part.velocity_ratio;
    return part;
}

double max_flow_ratio()
{
    return part_full(fullest_depth_ratio).flow_ratio;
}

std::optional<double> part_full_depth_ratio(double flow_ratio)
{
    check_not_below_zero(ErrorKind::internal, "flow / full flow", flow_ratio);
    if (flow_ratio == 0) {
        return 0;
    }
    const double greatest = max_flow_ratio();
    if (!(flow_ratio < greatest)) {
        return flow_ratio == greatest ? std::optional(fullest_depth_ratio) : std::nullopt;
    }
    return last_that_holds(0.0, fullest_depth_ratio,
                           [&](double depth_ratio) { return part_full(depth_ratio).flow_ratio <= flow_ratio; });
}

} // namespace trenchwright
