#pragma once

#include "trenchwright/site/site.hpp"

namespace trenchwright {

/// How far a trench as wide as its strip reaches into our foundations. The pipe itself keeps clear of them beyond its
/// way out of the wall; where that way is not square, the strip's corner would not.
struct StripInside {
    double deepest_m = 0; ///< of the strip's corners, from the wall
    double station_m = 0; ///< there
    friend bool operator==(const StripInside&, const StripInside&) = default;
};
StripInside inside_foundations(const Site& site, const Polyline& line, double width_m);

} // namespace trenchwright
