#include "trenchwright/route/along_marks.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

/// Stretches nearer to each other than this are one, and so are crossings.
constexpr double same_place_m = 1e-6;

/// What touches, seen as one.
struct Stretch {
    Interval span;
    double flattest_rad = std::numbers::pi / 2;
    int crossings = 0;
    double last_crossing_m = 0;
};

void add(Stretch& stretch, const NearPiece& piece)
{
    stretch.span.to_m = std::max(stretch.span.to_m, piece.span.to_m);
    if (piece.span.to_m - piece.span.from_m > same_place_m) { // else the corner of a bend
        stretch.flattest_rad = std::min(stretch.flattest_rad, piece.flattest_rad);
    }
    if (piece.crossings > 0) {
        const bool again = stretch.crossings > 0 && piece.first_crossing_m - stretch.last_crossing_m <= same_place_m;
        stretch.crossings += piece.crossings - (again ? 1 : 0); // a crossing through a bend is met by both runs
        stretch.last_crossing_m = piece.last_crossing_m;
    }
}

std::vector<Stretch> joined(std::span<const NearPiece> pieces)
{
    std::vector<Stretch> stretches;
    for (const auto& piece : pieces) {
        if (stretches.empty() || piece.span.from_m > stretches.back().span.to_m + same_place_m) {
            stretches.push_back({.span = piece.span});
        }
        add(stretches.back(), piece);
    }
    return stretches;
}

std::vector<NearPiece> merged(std::vector<NearPiece> found)
{
    std::ranges::sort(found, {}, [](const NearPiece& piece) { return piece.span.from_m; });
    std::vector<NearPiece> pieces;
    for (const auto& piece : found) {
        if (pieces.empty() || piece.span.from_m > pieces.back().span.to_m) {
            pieces.push_back(piece);
            continue;
        }
        pieces.back().span.to_m = std::max(pieces.back().span.to_m, piece.span.to_m);
        pieces.back().flattest_rad = std::min(pieces.back().flattest_rad, piece.flattest_rad);
    }
    return pieces;
}

bool crosses_once(const Stretch& stretch, const MarkReach& reach, double min_rad)
{
    if (stretch.crossings != 1 || !(stretch.flattest_rad >= min_rad)) {
        return false;
    }
    const double straight_m = 2 * reach.reach_m / std::sin(stretch.flattest_rad) +
                              reach.strip_m / std::tan(stretch.flattest_rad) + reach.strip_m;
    return stretch.span.to_m - stretch.span.from_m <= straight_m;
}

} // namespace

std::vector<NearPiece> near_pieces(const Polyline& run, const Polyline& mark, const MarkReach& reach)
{
    std::vector<NearPiece> found;
    for (std::size_t i = 1; i < mark.size(); ++i) {
        for (const auto& span : strip_spans_within(run, reach.strip_m, {mark[i - 1], mark[i]}, reach.reach_m)) {
            const double angle = between_lines_rad(direction_rad(run[0], run[1]), direction_rad(mark[i - 1], mark[i]));
            const bool corner = span.to_m - span.from_m <= same_place_m;
            found.push_back({.span = span, .flattest_rad = corner ? std::numbers::pi / 2 : angle});
        }
    }
    auto pieces = merged(std::move(found));
    if (pieces.empty()) {
        return pieces;
    }
    for (const auto& met : crossings(run, mark)) {
        for (auto& piece : pieces) {
            if (piece.span.from_m <= met.station_m && met.station_m <= piece.span.to_m) {
                piece.first_crossing_m = piece.crossings == 0 ? met.station_m : piece.first_crossing_m;
                piece.last_crossing_m = met.station_m;
                ++piece.crossings;
            }
        }
    }
    return pieces;
}

std::vector<Interval> stretches_along(std::span<const NearPiece> pieces, const MarkReach& reach, double min_rad)
{
    std::vector<Interval> along;
    for (const auto& stretch : joined(pieces)) {
        if (stretch.span.to_m > stretch.span.from_m && !crosses_once(stretch, reach, min_rad)) {
            along.push_back(stretch.span);
        }
    }
    return along;
}

std::vector<Interval> stretches_along(const Polyline& line, const Polyline& mark, const MarkReach& reach,
                                      double min_rad)
{
    std::vector<NearPiece> pieces;
    double start_m = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        for (const auto& piece : near_pieces({line[i - 1], line[i]}, mark, reach)) {
            pieces.push_back(shifted(piece, start_m));
        }
        start_m += distance_m(line[i - 1], line[i]);
    }
    return stretches_along(pieces, reach, min_rad);
}

NearPiece shifted(NearPiece piece, double by_m)
{
    piece.span = {piece.span.from_m + by_m, piece.span.to_m + by_m};
    piece.first_crossing_m += by_m;
    piece.last_crossing_m += by_m;
    return piece;
}

MarkReach priced_reach(const Mark& mark, const RouteRules& rules)
{
    return {.strip_m = rules.section.width_m, .reach_m = parallel_reach_m(mark, rules)};
}

} // namespace trenchwright
