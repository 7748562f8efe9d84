#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <span>
#include <variant>

namespace trenchwright {

/// Plane distances, lengths and areas. All exact up to rounding; empty input gives 0 (lengths, areas)
/// or infinity (distances); a line of one point is that point. Sides are decided by exact signs.
double distance_m(const Point& a, const Point& b);
double distance_m(const Point& p, const Point& segment_a, const Point& segment_b);
double distance_m(const Point& p, const Polyline& line);
double distance_m(const Polyline& a, const Polyline& b);
/// 0 inside the polygon.
double distance_m(const Point& p, const Polygon& area);
double distance_m(const Polyline& line, const Polygon& area);
/// To a place of any of these shapes, as above.
double place_distance_m(const Point& p, const std::variant<Point, Polyline, Polygon>& place);
double place_distance_m(const Polyline& line, const std::variant<Point, Polyline, Polygon>& place);
/// To the rings, also from inside.
double boundary_distance_m(const Point& p, const Polygon& area);

double length_m(const Polyline& line);
double area_m2(const Polygon& area);
/// Above 0 for a ring that runs anticlockwise.
double signed_area_m2(const Ring& ring);
/// Twice the area of a triangle, above 0 when c lies to the left of the line from a to b.
double twice_area_m2(const Point& a, const Point& b, const Point& c);

/// True inside or on the boundary, false in holes.
bool contains(const Polygon& area, const Point& p);

/// The point at a distance along the line, clamped to its ends.
Point point_at(const Polyline& line, double station_m);

/// Distance along the line of the point of it nearest to p.
double station_of(const Polyline& line, const Point& p);

/// Turn between two consecutive runs a-b and b-c, in [0, pi]; 0 is straight on.
double turn_rad(const Point& a, const Point& b, const Point& c);

/// Angle between two undirected lines by their directions, in [0, pi/2].
double between_lines_rad(double a_rad, double b_rad);

/// Direction from a to b, anticlockwise from the x axis, in (-pi, pi].
double direction_rad(const Point& a, const Point& b);

Box bounds(std::span<const Point> points);
Box grown(Box box, double by_m);
bool overlap(const Box& a, const Box& b);

/// A ring as a closed polyline (first point repeated).
Polyline closed(const Ring& ring);

} // namespace trenchwright
