#include "trenchwright/dig/wall_strip.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"

namespace trenchwright {

StripInside inside_foundations(const Site& site, const Polyline& line, double width_m)
{
    StripInside found;
    const auto strips = strip_around(line, width_m);
    for (const auto& house : site.foundations) {
        for (const auto& strip : strips) {
            for (const auto& p : strip.outer) {
                const double depth = contains(house, p) ? boundary_distance_m(p, house) : 0;
                if (depth > found.deepest_m) {
                    found.deepest_m = depth;
                    found.station_m = station_of(line, p);
                }
            }
        }
    }
    return found;
}

} // namespace trenchwright
