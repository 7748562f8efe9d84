#include "trenchwright/dig/tape_ties.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <optional>
#include <tuple>

namespace trenchwright {

namespace {

/// Nearer than a tape can be read: a millimeter.
constexpr double same_place_m = 1e-3;

double twice_area_m2(const Ring& ring)
{
    double sum = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& a = ring[i];
        const Point& b = ring[(i + 1) % ring.size()];
        sum += (a.x_m - ring[0].x_m) * (b.y_m - ring[0].y_m) - (b.x_m - ring[0].x_m) * (a.y_m - ring[0].y_m);
    }
    return sum;
}

std::vector<Point> corners_clockwise(Ring ring, double min_turn_rad)
{
    if (twice_area_m2(ring) > 0) {
        std::reverse(ring.begin(), ring.end());
    }
    std::vector<Point> corners;
    const std::size_t n = ring.size();
    for (std::size_t i = 0; i < n; ++i) {
        if (turn_rad(ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]) >= min_turn_rad) {
            corners.push_back(ring[i]);
        }
    }
    return corners;
}

/// A wall that runs from north-west to south-east has two corners as far to the south-west: rounding must not choose.
bool farther_south_west(const Point& a, const Point& b)
{
    const double by = (b.x_m + b.y_m) - (a.x_m + a.y_m);
    return std::abs(by) > same_place_m ? by > 0 : a.x_m < b.x_m;
}

/// 0 "A", 25 "Z", 26 "AA".
std::string letters(std::size_t index)
{
    std::string name(1, static_cast<char>('A' + index % 26));
    return index < 26 ? name : letters(index / 26 - 1) + name;
}

/// True where the straight tape from a to b runs through the inside of the house; along a wall it does not.
bool passes_through(const Polygon& house, const Point& a, const Point& b)
{
    const Polyline tape{a, b};
    std::vector<double> cuts;
    for (const Point& corner : house.outer) {
        if (distance_m(corner, a, b) < same_place_m) {
            cuts.push_back(station_of(tape, corner));
        }
    }
    for (const auto& span : spans_inside(tape, house)) {
        std::vector<double> ends{span.from_m, span.to_m};
        std::copy_if(cuts.begin(), cuts.end(), std::back_inserter(ends),
                     [&](double cut) { return cut > span.from_m && cut < span.to_m; });
        std::sort(ends.begin(), ends.end());
        for (std::size_t i = 1; i < ends.size(); ++i) {
            const Point middle = point_at(tape, (ends[i - 1] + ends[i]) / 2);
            if (contains(house, middle) && boundary_distance_m(middle, house) > same_place_m) {
                return true;
            }
        }
    }
    return false;
}

/// A tape from a corner that can be pulled straight to the place.
struct Tape {
    std::size_t corner = 0;
    double length_m = 0;
    double direction_rad = 0;
};

std::vector<Tape> tapes_to(const Point& place, const std::vector<TapeCorner>& corners,
                           const std::vector<Polygon>& foundations)
{
    std::vector<Tape> tapes;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point& from = corners[i].at;
        const double length = distance_m(from, place);
        const bool blocked = std::any_of(foundations.begin(), foundations.end(),
                                         [&](const auto& house) { return passes_through(house, from, place); });
        if (length > same_place_m && !blocked) {
            tapes.push_back({.corner = i, .length_m = length, .direction_rad = direction_rad(place, from)});
        }
    }
    std::stable_sort(tapes.begin(), tapes.end(), [](const auto& a, const auto& b) { return a.length_m < b.length_m; });
    return tapes;
}

double crossing_rad(const Tape& a, const Tape& b)
{
    const double between = std::abs(a.direction_rad - b.direction_rad);
    return std::min(between, 2 * std::numbers::pi - between);
}

bool crosses_squarely(const Tape& a, const Tape& b, double min_angle_rad)
{
    constexpr double rounding_rad = 1e-12;
    const double angle = crossing_rad(a, b);
    return angle >= min_angle_rad - rounding_rad && angle <= std::numbers::pi - min_angle_rad + rounding_rad;
}

struct Pair {
    Tape first;
    Tape second;
};

/// The pair of least badness; nothing for fewer than two tapes. Pairs come by rising length: a tie keeps the shorter.
template <class Badness> std::optional<Pair> best_pair(const std::vector<Tape>& tapes, Badness badness)
{
    std::optional<Pair> best;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t j = 1; j < tapes.size(); ++j) {
        for (std::size_t i = 0; i < j; ++i) {
            const double bad = badness(tapes[i], tapes[j]);
            if (bad < least) {
                least = bad;
                best = Pair{.first = tapes[i], .second = tapes[j]};
            }
        }
    }
    return best;
}

double flatness(const Tape& a, const Tape& b)
{
    return 1 - std::sin(crossing_rad(a, b));
}

std::optional<Tape> check_of(const Pair& pair, const std::vector<Tape>& tapes, double min_angle_rad)
{
    const auto found = std::find_if(tapes.begin(), tapes.end(), [&](const Tape& tape) {
        const bool third = tape.corner != pair.first.corner && tape.corner != pair.second.corner;
        return third && (crosses_squarely(tape, pair.first, min_angle_rad) ||
                         crosses_squarely(tape, pair.second, min_angle_rad));
    });
    return found == tapes.end() ? std::nullopt : std::optional(*found);
}

void check_call(const Point& place, const TieRules& rules)
{
    const bool angle = rules.min_angle_rad > 0 && rules.min_angle_rad <= std::numbers::pi / 2;
    const bool tape = rules.tape_length_m > 0 && std::isfinite(rules.tape_length_m);
    if (!angle || !tape || !std::isfinite(place.x_m) || !std::isfinite(place.y_m)) {
        throw Error(ErrorKind::internal, fmt::format("tape ties: place {} {}, least angle {} rad, tape {} m", place.x_m,
                                                     place.y_m, rules.min_angle_rad, rules.tape_length_m));
    }
}

TapeTies named(const Pair& pair, const std::optional<Tape>& check, const std::vector<TapeCorner>& corners,
               TieFault fault)
{
    TapeTies result{.ties = {}, .crossing_rad = crossing_rad(pair.first, pair.second), .fault = fault};
    for (const auto& tape : {std::optional(pair.first), std::optional(pair.second), check}) {
        if (tape) {
            result.ties.push_back({.corner = corners[tape->corner].name, .length_m = tape->length_m});
        }
    }
    return result;
}

} // namespace

std::vector<TapeCorner> tape_corners(const std::vector<Polygon>& foundations, const TieRules& rules)
{
    std::vector<TapeCorner> corners;
    for (const auto& house : foundations) {
        auto places = corners_clockwise(house.outer, rules.corner_turn_rad);
        std::rotate(places.begin(), std::min_element(places.begin(), places.end(), farther_south_west), places.end());
        for (const Point& place : places) {
            corners.push_back({.name = letters(corners.size()), .at = place});
        }
    }
    return corners;
}

TapeTies tape_ties(const Point& place, const std::vector<TapeCorner>& corners, const std::vector<Polygon>& foundations,
                   const TieRules& rules)
{
    check_call(place, rules);
    const auto all = tapes_to(place, corners, foundations);
    auto near = all;
    std::erase_if(near, [&](const Tape& tape) { return !(tape.length_m <= rules.tape_length_m); });
    const auto good = best_pair(near, [&](const Tape& a, const Tape& b) {
        return crosses_squarely(a, b, rules.min_angle_rad) ? a.length_m + b.length_m
                                                           : std::numeric_limits<double>::infinity();
    });
    if (good) {
        return named(*good, check_of(*good, near, rules.min_angle_rad), corners, TieFault::none);
    }
    // Corners in one line with the place, both ways or one: the arcs only touch, and fix nothing.
    const auto crosses = [](const std::optional<Pair>& pair) {
        return pair && std::sin(crossing_rad(pair->first, pair->second)) > 1e-6;
    };
    if (const auto flat = best_pair(near, flatness); crosses(flat)) {
        return named(*flat, check_of(*flat, near, rules.min_angle_rad), corners, TieFault::flat_arcs);
    }
    if (const auto far = best_pair(all, flatness); crosses(far)) {
        return named(*far, {}, corners, TieFault::beyond_tape);
    }
    return {.ties = {}, .crossing_rad = 0, .fault = TieFault::too_few_corners};
}

std::string tape_text(const TapeTie& tie, UnitSystem units)
{
    return fmt::format("{} {}", tie.corner,
                       units == UnitSystem::us ? feet_inches(tie.length_m) : length_text(tie.length_m, units));
}

std::string tie_text(const TapeTies& ties, UnitSystem units)
{
    if (ties.ties.size() < 2) {
        return "no tape ties: fewer than two corners can be taped from";
    }
    std::string text = fmt::format("{}, {}", tape_text(ties.ties[0], units), tape_text(ties.ties[1], units));
    if (ties.ties.size() > 2) {
        text += "; check " + tape_text(ties.ties[2], units);
    }
    if (ties.fault == TieFault::flat_arcs) {
        text += fmt::format(" (weak tie: arcs cross at {:.0f} deg)", ties.crossing_rad * 180 / std::numbers::pi);
    }
    return text + (ties.fault == TieFault::beyond_tape ? " (longer than one tape)" : "");
}

} // namespace trenchwright
