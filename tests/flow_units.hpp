#pragma once

#include "trenchwright/base/units.hpp"

#include <rapidcheck/catch.h>

/// The units of the published tables that the flow tests check against, and shared random figures.
namespace flow_units {

using trenchwright::ft_in_m;
using trenchwright::gallon_in_m3;
using trenchwright::inch_in_m;
using trenchwright::sq_ft_in_m2;

inline constexpr double hour_s = 3600;
inline constexpr double cu_ft_in_m3 = ft_in_m * ft_in_m * ft_in_m;
inline constexpr double gpm_in_m3ps = gallon_in_m3 / 60;
inline constexpr double acre_in_m2 = 43560 * sq_ft_in_m2;
inline constexpr double in_per_h_in_mps = inch_in_m / hour_s;
inline constexpr double in_per_ft = 1.0 / 12;
inline constexpr double lb_in_kg = 0.45359237; // by definition

/// A random figure in [low, high], as fine as a millionth of the range.
inline rc::Gen<double> between(double low, double high)
{
    return rc::gen::map(rc::gen::inRange(0, 1000001), [=](int step) { return low + (high - low) * step / 1e6; });
}

} // namespace flow_units
