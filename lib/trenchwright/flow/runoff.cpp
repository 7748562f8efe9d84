#include "trenchwright/flow/runoff.hpp"

#include "trenchwright/flow/checks.hpp"

namespace trenchwright {

namespace {

void check(const RunoffArea& surface)
{
    check_not_below_zero(ErrorKind::input, "area that sheds rain (m2)", surface.area_m2);
    check_share(ErrorKind::input, "runoff coefficient", surface.runoff_share, true);
}

} // namespace

double rain_rate_mps(double depth_m, double duration_s)
{
    check_not_below_zero(ErrorKind::input, "depth of rain (m)", depth_m);
    check_above_zero(ErrorKind::input, "duration of rain (s)", duration_s);
    return depth_m / duration_s;
}

double runoff_m3ps(const RunoffArea& surface, double rain_mps)
{
    check(surface);
    check_not_below_zero(ErrorKind::input, "rain (m/s)", rain_mps);
    return surface.runoff_share * rain_mps * surface.area_m2;
}

double runoff_m3ps(std::span<const RunoffArea> surfaces, double rain_mps)
{
    double flow_m3ps = 0;
    for (const auto& surface : surfaces) {
        flow_m3ps += runoff_m3ps(surface, rain_mps);
    }
    return flow_m3ps;
}

double weighted_runoff_share(std::span<const RunoffArea> surfaces)
{
    double area_m2 = 0;
    double shedding_m2 = 0;
    for (const auto& surface : surfaces) {
        check(surface);
        area_m2 += surface.area_m2;
        shedding_m2 += surface.runoff_share * surface.area_m2;
    }
    check_above_zero(ErrorKind::input, "area that sheds rain (m2)", area_m2);
    return shedding_m2 / area_m2;
}

double area_served_m2(double flow_m3ps, double rain_mps, double runoff_share)
{
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    check_above_zero(ErrorKind::input, "rain (m/s)", rain_mps);
    check_share(ErrorKind::input, "runoff coefficient", runoff_share, false);
    return flow_m3ps / (rain_mps * runoff_share);
}

} // namespace trenchwright
