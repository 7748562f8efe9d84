#pragma once

#include "geom/shapes.hpp"

#include <span>
#include <string>
#include <vector>

namespace trenchwright {

/// Why an area is not a proper polygon ("Self-intersection at or near point ..."), in site metres; empty when it is.
std::string area_fault(const Polygon& area);

/// Proper polygons that cover what the crossed rings enclose (structure method: a hole along the shell leaves no
/// stray line). For layers where a little area matters little; the caller reports the change.
/// @throws Error (input) when nothing can be made of it
std::vector<Polygon> made_valid(const Polygon& area);

} // namespace trenchwright
