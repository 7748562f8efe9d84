#include "trenchwright/gis/frame.hpp"

namespace trenchwright {

Point to_site(const Frame& frame, double native_x, double native_y)
{
    return {.x_m = (native_x - frame.origin_native_x) * frame.meters_per_native,
            .y_m = (native_y - frame.origin_native_y) * frame.meters_per_native};
}

NativePoint to_native(const Frame& frame, const Point& p)
{
    return {.x = frame.origin_native_x + p.x_m / frame.meters_per_native,
            .y = frame.origin_native_y + p.y_m / frame.meters_per_native};
}

} // namespace trenchwright
