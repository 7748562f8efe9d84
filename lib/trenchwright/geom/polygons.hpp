#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// What is wrong with a polygon, with the place, e.g. "Self-intersection[3 4]"; nothing for a valid one.
/// Valid as in OGC Simple Features: rings simple with at least three places, holes inside, finite.
std::optional<std::string> invalid_because(const Polygon& area);
bool is_valid(const Polygon& area);

/// Area shared by a polygon and a strip along a line: flat at its ends, mitred at its bends, each
/// place counted once where the strip meets itself. Exact up to rounding.
/// Bends sharper than about 157 degrees (mitre over five half widths) are cut off at the corner.
/// @return 0 for a line without length or a width of 0
/// @throws Error (input) for an invalid polygon, Error (internal) for a width that is negative or NaN
double strip_area_inside_m2(const Polyline& line, double width_m, const Polygon& area);

/// The strip itself, as strip_area_inside_m2 has it; with holes where it runs round ground. None for a line without
/// length. Every run's rectangle lies in it whole, up to rounding.
/// @throws Error (internal) for a width that is not above 0
std::vector<Polygon> strip_around(const Polyline& line, double width_m);

} // namespace trenchwright
