#pragma once

#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/shapes.hpp"

#include <string>
#include <vector>

/// Finds a place again with two tapes held at corners of the building.
namespace trenchwright {

/// When two tape lengths fix a place well enough.
struct TieRules {
    double min_angle_rad = 0;   ///< arcs cross between this and pi less this
    double tape_length_m = 0;   ///< one tape, no second one hooked on
    double corner_turn_rad = 0; ///< a wall that turns by less has no corner to hold a tape at
    friend bool operator==(const TieRules&, const TieRules&) = default;
};

/// A corner where the end of a tape can be held.
struct TapeCorner {
    std::string name; ///< "A", "B", ... "Z", "AA"
    Point at;
    friend bool operator==(const TapeCorner&, const TapeCorner&) = default;
};

/// One tape: level, from the corner to the place.
struct TapeTie {
    std::string corner;
    double length_m = 0;
    friend bool operator==(const TapeTie&, const TapeTie&) = default;
};

enum class TieFault {
    none,
    flat_arcs,      ///< no pair within one tape crosses squarely enough; the best one is given
    beyond_tape,    ///< no two corners within one tape; the best pair beyond it is given
    too_few_corners ///< fewer than two corners from which a tape runs straight to the place; no ties
};

/// Two tapes that fix a place, and a third that checks them where there is one.
struct TapeTies {
    std::vector<TapeTie> ties; ///< two, the shorter first, then the check; or none
    double crossing_rad = 0;   ///< angle between the first two at the place, (0, pi)
    TieFault fault = TieFault::none;
    friend bool operator==(const TapeTies&, const TapeTies&) = default;
};

/// The corners of the outlines, named so that the same house always gets the same letters, whatever point its ring
/// starts at and whichever way it runs: outlines in the order of the file; in each, the corner farthest to the
/// south-west (least x + y, then least x) first, then clockwise as seen from above. Holes have none.
std::vector<TapeCorner> tape_corners(const std::vector<Polygon>& foundations, const TieRules& rules);

/// The pair of corners whose tapes are shortest together among those within one tape whose arcs cross squarely enough.
/// A tape may touch a wall but never passes through a house. The check is the shortest third tape within one tape that
/// crosses one of the first two squarely enough. Where no pair is good, the one that crosses most squarely, with its
/// fault. The arcs meet on both sides of the line through their corners; the place is on the drawing's side.
/// @throws Error (internal) for a rule out of range or a place that is no number
/// Source: trade practice, from memory: arcs that cross between 45 and 135 deg, one tape each, a third one as check.
TapeTies tape_ties(const Point& place, const std::vector<TapeCorner>& corners, const std::vector<Polygon>& foundations,
                   const TieRules& rules);

/// "A 31'-4"".
std::string tape_text(const TapeTie& tie, UnitSystem units);

/// "A 31'-4", B 38'-0 1/2"; check C 51'-2"", with what is wrong with it in words; "no tape ties: ..." where there are
/// none.
std::string tie_text(const TapeTies& ties, UnitSystem units);

} // namespace trenchwright
