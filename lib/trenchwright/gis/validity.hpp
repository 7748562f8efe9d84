#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// What is wrong with an area, and where.
struct AreaFault {
    std::string what;        ///< for people: "its outline crosses itself"
    std::optional<Point> at; ///< in site meters, where one place is to blame
};

/// Why an area is not a proper polygon; nothing when it is one.
std::optional<AreaFault> area_fault(const Polygon& area);

/// Proper polygons that cover what the crossed rings enclose (structure method: a hole along the shell leaves no
/// stray line). For layers where a little area matters little; the caller reports the change.
/// @throws Error (input) when nothing can be made of it
std::vector<Polygon> made_valid(const Polygon& area);

/// Ground two proper polygons have in common.
struct SharedArea {
    double area_m2 = 0;
    Point at; ///< a place on it
    Box box;  ///< around it; both meaningless when the area is 0
};
SharedArea shared_area(const Polygon& a, const Polygon& b);

/// Proper polygons as one: where they meet or overlap they are joined.
std::vector<Polygon> joined(const std::vector<Polygon>& areas);

/// What of a proper polygon none of the others covers, without pieces narrower than `min_width_m` (slivers between two
/// maps of one line).
std::vector<Polygon> uncovered(const Polygon& area, const std::vector<Polygon>& covers, double min_width_m);

/// The ground within a distance of a line, its ends round.
std::vector<Polygon> strip_along(const Polyline& line, double half_width_m);

} // namespace trenchwright
