#pragma once

namespace trenchwright {

/// A place on the site, in the site frame's meters: x_m to the right (east), y_m up (north).
struct Point {
    double x_m = 0;
    double y_m = 0;
    friend bool operator==(const Point&, const Point&) = default;
};

/// A place with an elevation above the site's vertical datum.
struct Point3 {
    double x_m = 0;
    double y_m = 0;
    double elev_m = 0;
    friend bool operator==(const Point3&, const Point3&) = default;
};

/// Drops the elevation.
inline Point flat(const Point3& p)
{
    return {.x_m = p.x_m, .y_m = p.y_m};
}

} // namespace trenchwright
