#include "trenchwright/flow/friction.hpp"

#include "trenchwright/base/units.hpp"
#include "trenchwright/flow/checks.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double flow_exponent = 1.852;
constexpr double gpm_in_m3ps = 231 * inch_in_m * inch_in_m * inch_in_m / 60; // US gallon, by definition

/// Q^1.852 / (C^1.852 d^m) in whatever units.
double resistance(double flow, double c, double bore, double bore_exponent)
{
    return std::pow(flow / c, flow_exponent) / std::pow(bore, bore_exponent);
}

void check(const PressurePipe& pipe)
{
    check_above_zero(ErrorKind::input, "bore of the pressure pipe (m)", pipe.bore_m);
    check_above_zero(ErrorKind::input, "Hazen-Williams C", pipe.hazen_williams_c);
}

double area_m2(double bore_m)
{
    check_above_zero(ErrorKind::input, "bore of the pressure pipe (m)", bore_m);
    return std::numbers::pi / 4 * bore_m * bore_m;
}

} // namespace

double friction_ratio(const PressurePipe& pipe, double flow_m3ps)
{
    check(pipe);
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    // Each form in the units it is printed in, so that its figures can be recognised.
    const double gpm = flow_m3ps / gpm_in_m3ps;
    const double bore_in = pipe.bore_m / inch_in_m;
    switch (pipe.form) {
    case FrictionForm::handbook: return 0.2083 / 100 * resistance(100 * gpm, pipe.hazen_williams_c, bore_in, 4.8655);
    case FrictionForm::worksheet: return 10.5 * resistance(gpm, pipe.hazen_williams_c, bore_in, 4.8655);
    case FrictionForm::si: return 10.67 * resistance(flow_m3ps, pipe.hazen_williams_c, pipe.bore_m, 4.8704);
    }
    throw Error(ErrorKind::internal, "an unknown form of the friction formula");
}

double fittings_length_m(std::span<const PipeFitting> fittings)
{
    double length_m = 0;
    for (const auto& fitting : fittings) {
        check_not_below_zero(ErrorKind::input, fmt::format("equivalent length of fitting '{}' (m)", fitting.name),
                             fitting.equivalent_length_m);
        length_m += static_cast<double>(fitting.count) * fitting.equivalent_length_m;
    }
    return length_m;
}

double equivalent_length_m(double bores_ratio, double bore_m)
{
    check_not_below_zero(ErrorKind::input, "equivalent length in bores", bores_ratio);
    check_above_zero(ErrorKind::input, "bore of the pressure pipe (m)", bore_m);
    return bores_ratio * bore_m;
}

double filled_velocity_mps(double flow_m3ps, double bore_m)
{
    check_not_below_zero(ErrorKind::internal, "flow (m3/s)", flow_m3ps);
    return flow_m3ps / area_m2(bore_m);
}

double filled_flow_m3ps(double velocity_mps, double bore_m)
{
    check_not_below_zero(ErrorKind::internal, "velocity (m/s)", velocity_mps);
    return velocity_mps * area_m2(bore_m);
}

double velocity_head_m(double velocity_mps)
{
    check_not_below_zero(ErrorKind::internal, "velocity (m/s)", velocity_mps);
    return velocity_mps * velocity_mps / (2 * 9.80665);
}

} // namespace trenchwright
