#pragma once

#include "trenchwright/route/ends.hpp"
#include "trenchwright/route/true_line.hpp"

#include <array>
#include <functional>
#include <optional>

namespace trenchwright {

/// A line from source to outlet with its end and its price on true geometry.
struct PricedLine {
    Polyline downstream;
    EndPoint end;
    TrueCost cost;
};

/// Finds the end of the outlet nearest to a place, or nothing where none is allowed.
using EndFinder = std::function<std::optional<EndPoint>(const Point&)>;

/// Moves that are tried, in this order; smaller ones than the last are below what a crew can set out.
constexpr std::array<double, 6> moves_m{0.8, 0.4, 0.2, 0.1, 0.05, 0.02};
/// Savings below this are noise.
constexpr double min_saving = 1e-6;

/// Eight steps of a length, by the trench's own direction and not the compass, so that a turned or mirrored yard gives
/// the turned or mirrored line.
std::array<Point, 8> steps_about(const Polyline& line, double move_m);

/// Takes out vertices on straight runs.
Polyline without_straight_vertices(const Polyline& line);

/// The cheapest chain of chords through some of the line's own places, bends priced, at the line's mean cut: a start
/// for straightening that vertex moves alone would not find. Nothing when no chain works.
std::optional<PricedLine> best_chain(TrueLine& meter, const PricedLine& line, const RouteRules& rules);

/// Makes a line cheaper on true geometry: chords in place of bends, vertices moved, the end slid along its outlet,
/// until nothing helps. Never dearer than what it was given, and works whenever that worked; a line that falls
/// short is first changed toward draining.
PricedLine straightened(TrueLine& meter, PricedLine line, const EndFinder& end_near, int max_rounds = 60);

} // namespace trenchwright
