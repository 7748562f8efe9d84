#pragma once

#include "trenchwright/route/obstacles.hpp"

#include <optional>
#include <span>
#include <vector>

/// What closes the way between two places, and the fewest things whose removal opens it.
namespace trenchwright {

/// One thing that a trench would have to pass through.
struct ClosingObject {
    ObstacleKind kind = ObstacleKind::keep_out;
    std::string name; ///< for people: "keep-out K1 (deck)"
    std::variant<Point, Polyline, Polygon> shape;
    Point at; ///< where the way found enters it
};

/// True for what somebody could give leave for: no house, well or septic part.
bool may_give_way(ObstacleKind kind);

/// A yard of square cells for a search that counts the things it enters. Cells are numbered row by row.
struct ClosedYard {
    int cols = 0;
    int rows = 0;
    std::vector<std::vector<int>> closed_by; ///< by cell: indices of the things that close it, rising
    std::vector<int> weight;                 ///< by thing, above 0
    std::vector<int> starts;
    std::vector<int> ends;
};

/// A way through the fewest things.
struct LeastClosed {
    std::vector<int> things; ///< rising
    std::vector<int> cells;  ///< of the way, in order
    friend bool operator==(const LeastClosed&, const LeastClosed&) = default;
};

/// The way from a start to an end, over edges and corners of cells, whose things have the least weight, each counted
/// once; of several the shortest. Exact: a state is a cell with the set of things entered, and one that has entered no
/// more is never dearer. Checked by brute force over all sets of things in tests/closing_test.cpp.
/// @param max_states  stops there; then nothing is returned, which proves nothing
std::optional<LeastClosed> least_closed(const ClosedYard& yard, long long max_states);

/// The fewest things that close every way between a source and the ends of an outlet, on cells of rules.cell_m and as
/// a trench's axis sees them; bends are not looked at. Ground of others counts as three things of our own lot. Empty
/// when none closes it.
std::vector<ClosingObject> closing_objects(const Site& site, const Ground& ground, const Point& source,
                                           std::span<const Point> ends, const RouteRules& rules);

/// A site and rules without one thing, as if leave were given for it: each takes what concerns it. What cannot give way
/// stays, and so does ground that was not shot.
void take_away(const ClosingObject& gone, Site& site);
void take_away(const ClosingObject& gone, RouteRules& rules);

} // namespace trenchwright
