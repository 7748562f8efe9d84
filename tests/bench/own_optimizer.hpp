#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <functional>
#include <vector>

/// An optimizer of trench lines that shares nothing with the library but the shapes: random restarts, random local
/// moves, every figure sampled along the line. It is there to be beaten.
namespace trenchwright::own {

struct Area {
    Ring ring;
    double restore_per_m2 = 0;
    double cover_m = 0;
};
struct Circle {
    Point at;
    double radius_m = 0;
};
struct Line {
    Polyline line;
    double hand_m = 0;  ///< of the axis, by hand
    double along_m = 0; ///< of the axis, to be crossed steeply
};

struct Problem {
    double wide_m = 0;
    double deep_m = 0;
    double edge_m = 0; ///< axis to the lot's edge
    Ring house;
    double house_m = 0;
    double exit_m = 0; ///< from the source: the house may be nearer
    double exit_house_m = 0;
    std::vector<Area> areas; ///< of another surface than lawn
    std::vector<Ring> keep_out;
    double keep_out_m = 0;
    std::vector<Circle> hand; ///< tree circles dug by hand
    std::vector<Circle> closed;
    std::vector<Line> marks;
    double crossing_price = 0;
    double lawn_restore_per_m2 = 0;
    double lawn_cover_m = 0;
    double restore_width_m = 0;
    double width_m = 0;
    double pipe_per_m = 0;
    double machine_per_m = 0;
    double machine_per_m3 = 0;
    double hand_per_m = 0;
    double hand_per_m3 = 0;
    double min_fall = 0;
    double cover_to_invert_m = 0; ///< top of pipe to invert
    double invert_to_bottom_m = 0;
    double deepest_cut_m = 0;
    double end_drop_m = 0; ///< ground to lowest invert at the end
    double min_run_m = 0;
    std::function<double(const Point&)> ground_elev_m;
    std::function<double(double)> bend_price; ///< by turn in radians; infinity where none makes it
    Point source;
    std::vector<Point> ends; ///< one, two (a line) or the four corners of a rectangle
};

/// The cheapest lines met, best first, from the source down, no two alike.
std::vector<Polyline> best_lines(const Problem& problem, unsigned seed, int restarts, int moves, std::size_t count);

} // namespace trenchwright::own
