#include "trenchwright/dig/footing_wedge.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/cross_section.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

Point moved(const Point& p, const Point& by, double times)
{
    return {.x_m = p.x_m + by.x_m * times, .y_m = p.y_m + by.y_m * times};
}

/// Unit vector to the right of a-b: out of the building, for rings that run with the building on their left.
Point outward(const Point& a, const Point& b)
{
    const double length = distance_m(a, b);
    return {.x_m = (b.y_m - a.y_m) / length, .y_m = -(b.x_m - a.x_m) / length};
}

/// Fills the gap between two strips at the outside of their corner, up to where their edges meet.
Ring corner_piece(const Point& corner, const Point& first, const Point& second, double edge_m)
{
    constexpr double longest_mitre = 0.04; // 1 + cosine of the turn, where the mitre reaches five widths or so
    const double open = std::max(1 + first.x_m * second.x_m + first.y_m * second.y_m, longest_mitre);
    const Point sum{.x_m = first.x_m + second.x_m, .y_m = first.y_m + second.y_m};
    return {corner, moved(corner, first, edge_m), moved(corner, sum, edge_m / open), moved(corner, second, edge_m)};
}

void add_ring_pieces(std::vector<Ring>& pieces, Ring ring, bool hole, const FootingEdge& footing)
{
    if ((signed_area_m2(ring) < 0) != hole) {
        std::ranges::reverse(ring);
    }
    const double inner_m = footing.inner_edge_m.value_or(0);
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& a = ring[i];
        const Point& b = ring[(i + 1) % ring.size()];
        const Point& c = ring[(i + 2) % ring.size()];
        const Point out = outward(a, b);
        pieces.push_back({moved(a, out, footing.outer_edge_m), moved(b, out, footing.outer_edge_m),
                          moved(b, out, -inner_m), moved(a, out, -inner_m)});
        const Point next = outward(b, c);
        const bool convex = out.x_m * next.y_m - out.y_m * next.x_m > 0;
        pieces.push_back(corner_piece(b, out, next, convex ? footing.outer_edge_m : -inner_m));
    }
}

void require_above_zero(double value, const char* what)
{
    const bool above = value > 0 && std::isfinite(value);
    if (!above) {
        throw Error(ErrorKind::internal, fmt::format("footing wedge: {} is {}", what, value));
    }
}

} // namespace

std::vector<Ring> footing_pieces(const std::vector<Polygon>& foundations, const FootingEdge& footing)
{
    std::vector<Ring> pieces;
    for (const auto& foundation : foundations) {
        add_ring_pieces(pieces, foundation.outer, false, footing);
        for (const auto& hole : foundation.holes) {
            add_ring_pieces(pieces, hole, true, footing);
        }
    }
    return pieces;
}

std::vector<ExceedingSpan> wedge_breaches(const Polyline& line, double width_m, std::span<const GradePoint> bottom,
                                          const std::vector<Polygon>& foundations, const FootingEdge& footing,
                                          double side_per_depth_ratio)
{
    require_above_zero(width_m, "width");
    require_above_zero(side_per_depth_ratio, "side distance per depth");
    std::vector<double> breaks;
    double lowest_m = footing.bottom_elev_m;
    for (const auto& p : bottom) {
        breaks.push_back(p.station_m);
        lowest_m = std::min(lowest_m, p.invert_elev_m);
    }
    const double farthest_m = (footing.bottom_elev_m - lowest_m) * side_per_depth_ratio;
    const auto pieces = footing_pieces(foundations, footing);
    std::vector<ExceedingSpan> spans;
    for (const auto& run : runs_of(line, breaks)) {
        for (const auto& piece : pieces) {
            if (distance_m(run.at(run.span.from_m), run.at(run.span.to_m), piece) > farthest_m + width_m) {
                continue;
            }
            const auto over = exceeding_spans(run.span.from_m, run.span.to_m, [&](double station_m) {
                const auto [left, right] = run.across(station_m, width_m / 2);
                return footing.bottom_elev_m - distance_m(left, right, piece) / side_per_depth_ratio -
                       invert_at_m(bottom, station_m);
            });
            if (over) {
                spans.push_back(*over);
            }
        }
    }
    return joined(std::move(spans));
}

} // namespace trenchwright
