#pragma once

#include "trenchwright/base/point.hpp"
#include "trenchwright/base/units.hpp"

#include <string>

namespace trenchwright {

/// How site meters relate to the coordinates in the files.
///
/// A projected site keeps its own grid (so drawings match the survey): native = origin + meters /
/// meters_per_native. Geographic input gets a transverse Mercator centerd on the site, in meters. A tape site
/// has no coordinate system: native is the offset from the house corner in the stated unit.
struct Frame {
    std::string name;                           ///< for people: "NAD83 / ... (ftUS)", "tape offsets (ft)"
    std::string wkt;                            ///< WKT2 of the native system; empty for a tape site
    LengthUnit native_unit = LengthUnit::meter; ///< unit of native x and y
    double meters_per_native = 1;               ///< exact factor (asked of the system, never from its name)
    LengthUnit elev_unit = LengthUnit::meter;   ///< unit elevations were given in; printing follows the job
    double origin_native_x = 0;                 ///< native coordinate of site point (0, 0); a whole number
    double origin_native_y = 0;
    double grid_to_ground_ratio = 1; ///< true ground length / grid length at the site; 1 where unknown
    friend bool operator==(const Frame&, const Frame&) = default;
};

/// Site meters from native coordinates and back.
Point to_site(const Frame& frame, double native_x, double native_y);
struct NativePoint {
    double x = 0;
    double y = 0;
};
NativePoint to_native(const Frame& frame, const Point& p);

/// Bounds in native coordinates.
struct NativeBox {
    NativePoint low;
    NativePoint high;
};

} // namespace trenchwright
