#include "trenchwright/page/bearing.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

std::string quadrant_bearing(const Point& from, const Point& to)
{
    const double east_m = to.x_m - from.x_m;
    const double north_m = to.y_m - from.y_m;
    const double off_meridian_rad = std::atan2(std::abs(east_m), std::abs(north_m));
    // Whole seconds first: 59.6" must not become 60".
    const auto seconds = std::llround(off_meridian_rad * 180 * 3600 / std::numbers::pi);
    return fmt::format("{} {:02}°{:02}'{:02}\" {}", north_m < 0 ? 'S' : 'N', seconds / 3600, seconds / 60 % 60,
                       seconds % 60, east_m < 0 ? 'W' : 'E');
}

std::string lot_length_text(double length_m, UnitSystem units)
{
    return units == UnitSystem::us ? fmt::format("{:.2f} ft", length_m / ft_in_m) : fmt::format("{:.2f} m", length_m);
}

} // namespace trenchwright
