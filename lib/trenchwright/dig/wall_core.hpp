#pragma once

#include "trenchwright/base/section.hpp"
#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Where on a foundation's wall a pipe comes through, by the wall's two corners. Left and right as seen from outside.
struct WallPlace {
    Point at;              ///< on the wall's line, nearest to the source
    double off_wall_m = 0; ///< from there to the source's place
    Point left_corner;     ///< of the foundation's outline
    Point right_corner;
    double to_left_m = 0; ///< along the wall
    double to_right_m = 0;
    friend bool operator==(const WallPlace&, const WallPlace&) = default;
};

/// What the man with the core drill has to know. Heights are negative below.
struct WallCore {
    double invert_elev_m = 0;
    double center_elev_m = 0;            ///< of the hole
    std::optional<double> above_floor_m; ///< center over the floor inside; nothing: no floor supplied
    double above_ground_m = 0;           ///< center over the ground outside
    double elbow_depth_m = 0;            ///< ground to the invert of the trench's pipe
    double drop_m = 0;                   ///< from the core's invert down to that invert
    bool stated = false;                 ///< height of the invert as the source's record states it
    std::optional<WallPlace> place;      ///< nothing: no foundation with corners supplied
    friend bool operator==(const WallCore&, const WallCore&) = default;
};

/// A pump's pipe, and sump water by whatever pipe, comes from inside; a downspout stands outside, and so does a drain
/// along the outside of the footing.
bool passes_wall(const Source& source);

/// The nearest wall. A corner is a turn of more than 1 degree: surveys put points into straight walls.
/// @return nothing without a foundation that has two corners
std::optional<WallPlace> wall_place(const std::vector<Polygon>& foundations, const Point& at);

/// The core of a source that passes the wall. Its invert is the one its record states, else that of the laid pipe.
/// @param laid_invert_elev_m, ground_elev_m  at the trench's upper end
/// @param floor_elev_m  of the crawl space; the heights inside are measured from it
WallCore wall_core(const Site& site, const Source& source, const TrenchSection& section, double laid_invert_elev_m,
                   double ground_elev_m, std::optional<double> floor_elev_m);

} // namespace trenchwright
