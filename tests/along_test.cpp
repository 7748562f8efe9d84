#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

using namespace trenchwright;

namespace {

constexpr double degree = std::numbers::pi / 180;

/// A mark through (x, y) at an angle to the x axis, long to both sides.
Polyline mark_at(double x, double y, double angle_rad, double half_length_m = 50)
{
    const double dx = half_length_m * std::cos(angle_rad);
    const double dy = half_length_m * std::sin(angle_rad);
    return {{x - dx, y - dy}, {x + dx, y + dy}};
}

Polyline random_line(std::mt19937& random, int count)
{
    std::uniform_real_distribution<double> meters(-10, 10);
    Polyline line;
    for (int i = 0; i < count; ++i) {
        const double x = meters(random);
        line.push_back({.x_m = x, .y_m = meters(random)});
    }
    return line;
}

bool holds(const std::vector<Interval>& spans, double s)
{
    return std::any_of(spans.begin(), spans.end(), [&](const auto& i) { return i.from_m <= s && s <= i.to_m; });
}

double end_distance(const std::vector<Interval>& spans, double s)
{
    double nearest = 1e9;
    for (const auto& span : spans) {
        nearest = std::min({nearest, std::abs(s - span.from_m), std::abs(s - span.to_m)});
    }
    return nearest;
}

/// Brute force: is any of many points across the strip of one straight run within reach?
bool slice_is_near(const Polyline& run, double s, double width, const Polyline& mark, double reach)
{
    const double length = length_m(run);
    const double nx = -(run[1].y_m - run[0].y_m) / length;
    const double ny = (run[1].x_m - run[0].x_m) / length;
    const Point middle = point_at(run, s);
    const Polyline slice{{middle.x_m - nx * width / 2, middle.y_m - ny * width / 2},
                         {middle.x_m + nx * width / 2, middle.y_m + ny * width / 2}};
    return distance_m(slice, mark) <= reach;
}

/// Length of a line inside a polygon by GEOS.
double geos_length_inside(const Polyline& line, const Polygon& area)
{
    const auto geos = GEOS_init_r();
    const auto sequence = [&](const Polyline& points) {
        std::vector<double> numbers;
        for (const auto& p : points) {
            numbers.insert(numbers.end(), {p.x_m, p.y_m});
        }
        return GEOSCoordSeq_copyFromBuffer_r(geos, numbers.data(), static_cast<unsigned>(points.size()), 0, 0);
    };
    auto* axis = GEOSGeom_createLineString_r(geos, sequence(line));
    auto* hole = GEOSGeom_createLinearRing_r(geos, sequence(closed(area.holes[0])));
    auto* yard =
        GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, sequence(closed(area.outer))), &hole, 1);
    auto* shared = GEOSIntersection_r(geos, axis, yard);
    double length = -1;
    GEOSLength_r(geos, shared, &length);
    for (auto* geometry : {axis, yard, shared}) {
        GEOSGeom_destroy_r(geos, geometry);
    }
    GEOS_finish_r(geos);
    return length;
}

} // namespace

TEST_CASE("hand-dig length at a long straight mark is the trade's formula", "[along]")
{
    // docs/sources.md, J1: (w + 2t)/sin(a) + b/tan(a); printed in feet for w 0, b 12 in: t 18 in 3.0, 5.2, 7.7;
    // t 24 in 4.0, 6.7, 9.7; t 48 in 8.0, 12.3, 17.7, at 90, 45 and 30 degrees.
    struct Row {
        double tolerance_in;
        std::array<double, 3> printed_ft;
    };
    const std::array<double, 3> angles{90 * degree, 45 * degree, 30 * degree};
    for (const Row& row : {Row{18, {3.0, 5.2, 7.7}}, Row{24, {4.0, 6.7, 9.7}}, Row{48, {8.0, 12.3, 17.7}}}) {
        for (std::size_t i = 0; i < angles.size(); ++i) {
            const double width = 12 * inch_in_m;
            const auto spans =
                strip_spans_within({{0, 0}, {30, 0}}, width, mark_at(15, 0, angles[i]), row.tolerance_in * inch_in_m);
            REQUIRE(spans.size() == 1);
            CHECK(total_m(spans) / ft_in_m == Approx(row.printed_ft[i]).margin(0.05));
        }
    }
}

TEST_CASE("hand-dig length holds for any width, tolerance, angle and direction", "[along]")
{
    std::mt19937 random(4);
    std::uniform_real_distribution<double> share(0, 1);
    for (int i = 0; i < 5000; ++i) {
        const double facility = 0.6 * share(random), tolerance = 0.1 + 1.2 * share(random);
        const double width = 0.1 + 0.5 * share(random), angle = (20 + 70 * share(random)) * degree;
        const double turn = 2 * std::numbers::pi * share(random);
        const Polyline trench{{100 - 20 * std::cos(turn), 7 - 20 * std::sin(turn)},
                              {100 + 20 * std::cos(turn), 7 + 20 * std::sin(turn)}};
        const auto spans = strip_spans_within(trench, width, mark_at(100, 7, turn + angle), facility / 2 + tolerance);
        REQUIRE(spans.size() == 1);
        const double expected = (facility + 2 * tolerance) / std::sin(angle) + width / std::tan(angle);
        REQUIRE(total_m(spans) == Approx(expected).epsilon(1e-10));
        REQUIRE(spans[0].from_m + spans[0].to_m == Approx(40).epsilon(1e-10)); // centerd on the crossing
    }
}

TEST_CASE("a mark's end reaches out in a round cap", "[along]")
{
    // The mark stops 0.3 m short of the axis; reach 0.5 m: the chord at distance 0.3 is 2 sqrt(0.5^2 - 0.3^2) = 0.8.
    const auto spans = strip_spans_within({{0, 0}, {10, 0}}, 0, {{5, 0.3}, {5, 9}}, 0.5);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].from_m == Approx(4.6).epsilon(1e-12));
    CHECK(spans[0].to_m == Approx(5.4).epsilon(1e-12));
    // A strip 0.2 m wide comes 0.1 m nearer: 2 sqrt(0.5^2 - 0.2^2); one 0.6 m wide reaches the end itself.
    CHECK(total_m(strip_spans_within({{0, 0}, {10, 0}}, 0.2, {{5, 0.3}, {5, 9}}, 0.5)) ==
          Approx(2 * std::sqrt(0.21)).epsilon(1e-12));
    CHECK(total_m(strip_spans_within({{0, 0}, {10, 0}}, 0.6, {{5, 0.3}, {5, 9}}, 0.5)) == Approx(1).epsilon(1e-12));
    CHECK(strip_spans_within({{0, 0}, {10, 0}}, 0.2, {{5, 0.7}, {5, 9}}, 0.5).empty());
}

TEST_CASE("a tree circle and a mark of one point give the same chord", "[along]")
{
    const Polyline trench{{0, 0}, {10, 0}};
    const auto circle = strip_spans_within(trench, 0, Point{5, 3}, 5);
    REQUIRE(circle.size() == 1);
    CHECK(circle[0] == Interval{1, 9}); // 3-4-5
    CHECK(strip_spans_within(trench, 0, Polyline{{5, 3}}, 5) == circle);
    CHECK(strip_spans_within(trench, 0, Polyline{{5, 3}, {5, 3}}, 5) == circle);
    CHECK(strip_spans_within(trench, 0, Polyline{}, 5).empty());
}

TEST_CASE("stretches near random marks are those that slicing finds", "[along]")
{
    std::mt19937 random(5);
    std::uniform_real_distribution<double> share(0, 1);
    int inside = 0;
    for (int i = 0; i < 300; ++i) {
        const auto trench = random_line(random, 2);
        const auto mark = random_line(random, 4);
        const double width = share(random), reach = 0.1 + 2 * share(random);
        const auto spans = strip_spans_within(trench, width, mark, reach);
        for (int k = 0; k <= 200; ++k) {
            const double s = length_m(trench) * k / 200;
            if (end_distance(spans, s) > 1e-9) {
                REQUIRE(holds(spans, s) == slice_is_near(trench, s, width, mark, reach));
                inside += holds(spans, s);
            }
        }
    }
    CHECK(inside > 5000); // the check has looked at both sides
}

TEST_CASE("a bent trench takes each run's stretches and the outer corner of the bend", "[along]")
{
    const Polyline bent{{0, 0}, {10, 0}, {10, 10}};
    // A mark along x = 10.6: the second run lies within 0.5 + 0.15 of it for its whole length; the first run's
    // strip from 9.95 m on.
    const auto spans = strip_spans_within(bent, 0.3, {{10.6, -50}, {10.6, 50}}, 0.65);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].from_m == Approx(9.95).epsilon(1e-12));
    CHECK(spans[0].to_m == 20);
    // Below the bend only the second run's start, half a width past the bend, comes near: the bend alone.
    const auto corner = strip_spans_within(bent, 0.3, Point{10.1, -0.6}, 0.47);
    REQUIRE(corner.size() == 1);
    CHECK(corner[0].to_m == Approx(10).margin(0.3));
}

TEST_CASE("a trench that ends square before a zone is not in it", "[along]")
{
    const Polyline trench{{0, 0}, {10, 0}};
    CHECK(strip_spans_within(trench, 0.4, mark_at(10.6, 0, 90 * degree), 0.5).empty());
    CHECK(strip_spans_within(trench, 0.4, mark_at(-0.6, 0, 90 * degree), 0.5).empty());
    CHECK(total_m(strip_spans_within(trench, 0.4, mark_at(10.4, 0, 90 * degree), 0.5)) == Approx(0.1).epsilon(1e-9));
}

TEST_CASE("stretches inside random yards add up to the GEOS intersection", "[along]")
{
    std::mt19937 random(6);
    std::uniform_real_distribution<double> share(0.6, 1.0);
    for (int i = 0; i < 1000; ++i) {
        const auto star = [&](double radius, int corners) {
            Ring ring;
            for (int k = 0; k < corners; ++k) {
                const double r = radius * share(random), angle = 2 * std::numbers::pi * k / corners;
                ring.push_back({.x_m = r * std::cos(angle), .y_m = r * std::sin(angle)});
            }
            return ring;
        };
        const Polygon yard{.outer = star(9, 8), .holes = {star(4, 6)}};
        const auto line = random_line(random, 5);
        const auto spans = spans_inside(line, yard);
        REQUIRE(total_m(spans) == Approx(geos_length_inside(line, yard)).margin(1e-9));
        for (std::size_t k = 1; k < spans.size(); ++k) {
            REQUIRE(spans[k - 1].to_m < spans[k].from_m);
        }
    }
}

TEST_CASE("a line through a yard's corner point stays one stretch", "[along]")
{
    // Diagonals pass exactly through reflex and convex corners; 12 ft and 5 ft sides give rounded shares.
    const Polygon ell{.outer = {{0, 0}, {6, 0}, {6, 3}, {3, 3}, {3, 6}, {0, 6}}, .holes = {}};
    const auto spans = spans_inside({{-1, -1}, {7, 7}}, ell);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].from_m == Approx(std::sqrt(2)).epsilon(1e-12));
    CHECK(spans[0].to_m == Approx(4 * std::sqrt(2)).epsilon(1e-12));
    // Along one long line split by an extra corner in the outline.
    const Polygon split{.outer = {{0, 0}, {0.1, 0}, {0.3, 0.1}, {0.7, 0.3}, {9, 0}, {9, 9}, {0, 9}}, .holes = {}};
    CHECK(spans_inside({{0.3, 0.1}, {3.3, 8.1}}, split).size() == 1);
}

TEST_CASE("crossings give station, place and the acute angle", "[along]")
{
    for (const double angle : {90 * degree, 45 * degree, 30 * degree, 150 * degree, 200 * degree}) {
        const auto found = crossings({{0, 0}, {12, 0}}, mark_at(4, 0, angle, 5));
        REQUIRE(found.size() == 1);
        CHECK(found[0].station_m == Approx(4).epsilon(1e-12));
        CHECK(found[0].other_station_m == Approx(5).epsilon(1e-12));
        CHECK(found[0].angle_rad == Approx(std::asin(std::abs(std::sin(angle)))).epsilon(1e-9));
    }
    CHECK(crossings({{0, 0}, {3, 0}}, mark_at(4, 0, 90 * degree)).empty());
}

TEST_CASE("random lines cross where GEOS says and as often", "[along]")
{
    const auto geos = GEOS_init_r();
    std::mt19937 random(8);
    const auto shape = [&](const Polyline& points) {
        std::vector<double> numbers;
        for (const auto& p : points) {
            numbers.insert(numbers.end(), {p.x_m, p.y_m});
        }
        return GEOSGeom_createLineString_r(
            geos, GEOSCoordSeq_copyFromBuffer_r(geos, numbers.data(), static_cast<unsigned>(points.size()), 0, 0));
    };
    for (int i = 0; i < 1000; ++i) {
        const auto line = random_line(random, 5);
        const auto mark = random_line(random, 5);
        const auto found = crossings(line, mark);
        auto* a = shape(line);
        auto* b = shape(mark);
        auto* met = GEOSIntersection_r(geos, a, b);
        const int expected = GEOSisEmpty_r(geos, met) == 1 ? 0 : GEOSGetNumGeometries_r(geos, met);
        REQUIRE(static_cast<int>(found.size()) == expected);
        for (const auto& crossing : found) {
            REQUIRE(distance_m(crossing.at, point_at(mark, crossing.other_station_m)) < 1e-9);
            REQUIRE(distance_m(crossing.at, point_at(line, crossing.station_m)) < 1e-9);
        }
        // Seen from the mark there are as many.
        REQUIRE(crossings(mark, line).size() == found.size());
        for (auto* geometry : {a, b, met}) {
            GEOSGeom_destroy_r(geos, geometry);
        }
    }
    GEOS_finish_r(geos);
}

TEST_CASE("a trench that bends on a mark crosses it once", "[along]")
{
    // The bend is computed, so it lies off the mark by rounding, to either side; it must not slip through.
    std::mt19937 random(9);
    std::uniform_real_distribution<double> any(-1, 1);
    for (int i = 0; i < 20000; ++i) {
        const Polyline mark{{-10, any(random)}, {10, 3 + any(random)}};
        const Point bend = point_at(mark, 5 + 10 * std::abs(any(random)));
        const Polyline trench{{bend.x_m + any(random), -6}, bend, {bend.x_m + 4 * any(random), 9}};
        const auto found = crossings(trench, mark);
        REQUIRE(found.size() == 1);
        REQUIRE(distance_m(found[0].at, bend) < 1e-6);
        REQUIRE(crossings(mark, trench).size() == 1);
    }
}

TEST_CASE("a trench through a bend of the mark crosses it once at the sharper angle", "[along]")
{
    const auto found = crossings({{0, 0}, {10, 0}}, {{5, 5}, {5, 0}, {8, -3}});
    REQUIRE(found.size() == 1);
    CHECK(found[0].station_m == 5);
    CHECK(found[0].angle_rad == Approx(45 * degree));
}

TEST_CASE("a trench that starts on a mark touches it", "[along]")
{
    CHECK(crossings({{5, 0}, {5, 8}}, {{0, 0}, {10, 0}}).size() == 1);
    CHECK(crossings({{5, 8}, {5, 0}}, {{0, 0}, {10, 0}}).size() == 1);
    CHECK(crossings({{5, 8}, {5, 0.001}}, {{0, 0}, {10, 0}}).empty());
}

TEST_CASE("running along a mark is no crossing, whatever its direction", "[along]")
{
    std::mt19937 random(10);
    std::uniform_real_distribution<double> any(-2, 2);
    for (int i = 0; i < 20000; ++i) {
        const double slope = any(random), start = any(random);
        const auto at = [&](double x) { return Point{.x_m = x, .y_m = start + slope * x}; };
        REQUIRE(crossings({at(0.3), at(7.1)}, {at(2.2), at(11.7)}).empty());
        REQUIRE(crossings({at(0.3), at(7.1)}, {at(4.9), at(1.7)}).empty());
    }
}

TEST_CASE("a mark that meets itself where the trench crosses counts as often as it passes", "[along]")
{
    const auto found = crossings({{0, 0}, {12, 0}}, {{5, -4}, {5, 4}, {9, 4}, {1, -4}});
    REQUIRE(found.size() == 2);
    CHECK(found[0].station_m == Approx(5).epsilon(1e-12));
    CHECK(found[1].station_m == Approx(5).epsilon(1e-12));
}

TEST_CASE("stretches are joined and taken apart like sets", "[along]")
{
    const std::vector<Interval> joined{{0, 4}, {5, 8}};
    CHECK(merged({{5, 7}, {0, 3}, {3, 4}, {6, 8}, {1, 2}}) == joined);
    CHECK(minus(joined, {{1, 2}, {3, 6}, {7.5, 20}}) == std::vector<Interval>{{0, 1}, {2, 3}, {6, 7.5}});
    CHECK(minus(joined, {}) == joined);
    CHECK(minus(joined, {{-1, 9}}).empty());
    CHECK(total_m(joined) == 7);
    // Random sets on a lattice against counting cells.
    std::mt19937 random(11);
    for (int i = 0; i < 500; ++i) {
        std::array<bool, 40> in_a{}, in_b{};
        const auto draw = [&](std::array<bool, 40>& cells) {
            std::vector<Interval> spans;
            for (int k = 0; k < 4; ++k) {
                const auto from = static_cast<std::size_t>(random() % 36),
                           size = static_cast<std::size_t>(random() % 4);
                spans.push_back({static_cast<double>(from), static_cast<double>(from + size)});
                std::fill_n(cells.begin() + static_cast<std::ptrdiff_t>(from), size, true);
            }
            return merged(spans);
        };
        const auto a = draw(in_a);
        const auto b = draw(in_b);
        int expected = 0;
        for (std::size_t k = 0; k < 40; ++k) {
            expected += in_a[k] && !in_b[k];
        }
        REQUIRE(total_m(minus(a, b)) == expected);
        REQUIRE(total_m(a) == static_cast<double>(std::count(in_a.begin(), in_a.end(), true)));
    }
}
