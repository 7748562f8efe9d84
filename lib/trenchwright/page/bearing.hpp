#pragma once

#include "trenchwright/base/point.hpp"
#include "trenchwright/base/units.hpp"

#include <string>

namespace trenchwright {

/// A direction as surveyors write it: from north or south by less than a quarter turn toward east or west, to the
/// nearest second: N 12°34'56" E. Due east is N 90°00'00" E.
std::string quadrant_bearing(const Point& from, const Point& to);

/// A lot line's length to the hundredth: 130.02 ft or 39.63 m.
std::string lot_length_text(double length_m, UnitSystem units);

} // namespace trenchwright
