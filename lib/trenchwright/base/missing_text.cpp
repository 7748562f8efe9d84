#include "trenchwright/base/missing_text.hpp"

#include <cmath>

namespace trenchwright {

std::string missing_text(double length_m, UnitSystem units)
{
    const bool us = units == UnitSystem::us;
    const double step_m = us ? inch_in_m / 10 : 0.001;
    const double rounded_m = us ? 0.001 : 1e-9; // what is missing is known to a millimeter, rounded up already
    return small_text(std::ceil((length_m - rounded_m) / step_m) * step_m, units);
}

} // namespace trenchwright
