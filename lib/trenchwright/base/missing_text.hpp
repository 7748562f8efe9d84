#pragma once

#include "trenchwright/base/units.hpp"

#include <string>

namespace trenchwright {

/// What is missing, as small_text but rounded up: who makes good what is printed has enough, to the millimeter.
/// @param length_m  in whole millimeters rounded up, or nearly exact
std::string missing_text(double length_m, UnitSystem units);

} // namespace trenchwright
