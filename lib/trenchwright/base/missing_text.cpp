#include "trenchwright/base/missing_text.hpp"

#include <cmath>

namespace trenchwright {

std::string missing_text(double length_m, UnitSystem units)
{
    const double step_m = units == UnitSystem::us ? inch_in_m / 10 : 0.001;
    constexpr double rounding_ratio = 1e-6; // a figure that is whole but for rounding stays as it is
    return small_text(std::ceil(length_m / step_m - rounding_ratio) * step_m, units);
}

} // namespace trenchwright
