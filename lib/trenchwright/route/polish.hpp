#pragma once

#include "trenchwright/route/drain_meter.hpp"

#include <functional>
#include <span>
#include <vector>

namespace trenchwright {

/// Money that a meter of missing fall weighs as much as, so that a search may pass through lines that do not drain.
constexpr double missing_fall_per_m = 5000;

/// What a line or a drain is weighed by, TrueCost or DrainCost: its price, and the fall it misses.
template <typename Cost> double weighed_price(const Cost& cost)
{
    return cost.price + missing_fall_per_m * cost.missing_m;
}

/// Better first: what drains before what does not, cheaper or nearer to draining before the rest.
template <typename Priced> bool comes_first(const Priced& a, const Priced& b)
{
    return a.cost.works() != b.cost.works() ? a.cost.works() : weighed_price(a.cost) < weighed_price(b.cost);
}

/// The middle of the buildings, or of the lot.
Point middle_of(const Site& site);

/// What a line or a drain costs on true geometry. Where it cannot cost less than `max_price`, any price from there on
/// will do.
using DrainPricer = std::function<DrainCost(const DrainLine&, double max_price)>;

/// Makes a drain cheaper on true geometry where small steps no longer do: simulated annealing (Kirkpatrick, Gelatt and
/// Vecchi 1983) over the places of its vertices, junctions and end, with vertices put in and taken out. Its draws are
/// the same in every run and follow the drain's own direction and the side on which `beside` lies, so that a turned or
/// mirrored yard gives the turned or mirrored drain.
/// @param drain  breaks no rule; where it does not drain, lines nearer to draining are sought first
/// @param beside  any place of the yard off the straight line from source to outlet
/// @param tries  lines priced
/// @return the cheapest drain met; never dearer than what it was given, and draining whenever that did
PricedDrain polished(const DrainPricer& price, PricedDrain drain, const EndFinder& end_near, const Point& beside,
                     int tries);

/// Nothing near a line or a drain that lacks more fall than this drains: no start for a polish.
constexpr double far_off_m = 0.03;

/// So many of the best go on, with so many tries each.
struct PolishStage {
    std::size_t drains = 0;
    int tries = 0;
};

/// Several starts polished a little, the better of them more and the best the most (successive halving, Karnin, Koren
/// and Somekh 2013, from memory): which of them ends as the cheapest shows soon.
/// @param stages  each with fewer drains than the one before
/// @return all of them, best first
std::vector<PricedDrain> polished_by_stages(const DrainPricer& price, std::vector<PricedDrain> drains,
                                            const EndFinder& end_near, const Point& beside,
                                            std::span<const PolishStage> stages);

} // namespace trenchwright
