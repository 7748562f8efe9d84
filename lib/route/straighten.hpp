#pragma once

#include "route/ends.hpp"
#include "route/true_line.hpp"

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

/// Takes out vertices on straight runs.
Polyline without_straight_vertices(const Polyline& line);

/// The cheapest chain of chords through some of the line's own places, bends priced, at the line's mean cut: a start
/// for straightening that vertex moves alone would not find. Nothing when no chain works.
std::optional<PricedLine> best_chain(TrueLine& meter, const PricedLine& line, const RouteRules& rules);

/// Makes a line cheaper on true geometry: chords in place of bends, vertices moved, the end slid along its outlet,
/// until nothing helps. Never dearer than what it was given, and works whenever that worked; a line that falls
/// short is first changed toward draining.
PricedLine straightened(TrueLine& meter, PricedLine line, const EndFinder& end_near);

} // namespace trenchwright
