#include "trenchwright/flow/pump_line.hpp"

#include "trenchwright/flow/checks.hpp"
#include "trenchwright/flow/turning_point.hpp"

#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

void check(const PumpLine& line)
{
    check_not_below_zero(ErrorKind::input, "length of the pump's line (m)", line.length_m);
    check_not_below_zero(ErrorKind::input, "rising length of the pump's line (m)", line.rising_length_m);
    check_not_below_zero(ErrorKind::input, "length of the pump's line less its rising length (m)",
                         line.length_m - line.rising_length_m);
    check_not_below_zero(ErrorKind::input, "lift of the pump (m)", line.static_lift_m);
}

void check(std::span<const CurvePoint> curve)
{
    if (curve.size() < 2) {
        throw Error(ErrorKind::input, fmt::format("pump curve: {} point(s), at least 2 are needed", curve.size()));
    }
    for (std::size_t i = 0; i < curve.size(); ++i) {
        check_not_below_zero(ErrorKind::input, fmt::format("pump curve, point {}: flow (m3/s)", i + 1),
                             curve[i].flow_m3ps);
        check_not_below_zero(ErrorKind::input, fmt::format("pump curve, point {}: head (m)", i + 1), curve[i].head_m);
        if (i == 0) {
            continue;
        }
        check_above_zero(ErrorKind::input, fmt::format("pump curve, point {}: rise of flow (m3/s)", i + 1),
                         curve[i].flow_m3ps - curve[i - 1].flow_m3ps);
        check_above_zero(ErrorKind::input, fmt::format("pump curve, point {}: fall of head (m)", i + 1),
                         curve[i - 1].head_m - curve[i].head_m);
    }
}

/// Straight between two neighbors, and exactly their heads at their flows.
double head_between_m(const CurvePoint& a, const CurvePoint& b, double flow_m3ps)
{
    const double share = (flow_m3ps - a.flow_m3ps) / (b.flow_m3ps - a.flow_m3ps);
    return (1 - share) * a.head_m + share * b.head_m;
}

OperatingPoint point_between(const CurvePoint& a, const CurvePoint& b, const PumpLine& line)
{
    const double flow_m3ps = last_that_holds(
        a.flow_m3ps, b.flow_m3ps, [&](double flow) { return head_between_m(a, b, flow) >= total_head_m(line, flow); });
    return {.place = DutyPlace::on_curve, .flow_m3ps = flow_m3ps, .head_m = head_between_m(a, b, flow_m3ps)};
}

} // namespace

double total_head_m(const PumpLine& line, double flow_m3ps)
{
    check(line);
    const double run_m = line.length_m + fittings_length_m(line.fittings);
    const double friction_m = run_m * friction_ratio(line.pipe, flow_m3ps);
    const double velocity_mps = line.counts_velocity_head ? filled_velocity_mps(flow_m3ps, line.pipe.bore_m) : 0;
    return line.static_lift_m + friction_m + velocity_head_m(velocity_mps);
}

double drains_back_m3(const PumpLine& line)
{
    check(line);
    check_above_zero(ErrorKind::input, "bore of the pressure pipe (m)", line.pipe.bore_m);
    const double area_m2 = std::numbers::pi / 4 * line.pipe.bore_m * line.pipe.bore_m;
    return line.check_valve ? 0 : line.rising_length_m * area_m2;
}

std::optional<double> curve_head_m(std::span<const CurvePoint> curve, double flow_m3ps)
{
    check(curve);
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    for (std::size_t i = 1; i < curve.size(); ++i) {
        if (flow_m3ps >= curve[i - 1].flow_m3ps && flow_m3ps <= curve[i].flow_m3ps) {
            return head_between_m(curve[i - 1], curve[i], flow_m3ps);
        }
    }
    return std::nullopt;
}

OperatingPoint operating_point(std::span<const CurvePoint> curve, const PumpLine& line)
{
    check(curve);
    const CurvePoint& first = curve.front();
    const double spare_m = first.head_m - total_head_m(line, first.flow_m3ps);
    if (first.flow_m3ps == 0 && !(spare_m > 0)) {
        return {.place = DutyPlace::cannot_lift};
    }
    if (!(spare_m >= 0)) {
        return {.place = DutyPlace::before_first_point};
    }
    for (std::size_t i = 1; i < curve.size(); ++i) {
        if (curve[i].head_m <= total_head_m(line, curve[i].flow_m3ps)) {
            return point_between(curve[i - 1], curve[i], line);
        }
    }
    return {.place = DutyPlace::past_last_point};
}

} // namespace trenchwright
