#include "trenchwright/base/error.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

using namespace trenchwright;

namespace {

/// GEOS as reference: one context, shapes by WKT would round, so by coordinates.
class Reference {
  public:
    Reference() : geos_(GEOS_init_r()) {}
    ~Reference() { GEOS_finish_r(geos_); }
    Reference(const Reference&) = delete;
    Reference& operator=(const Reference&) = delete;

    GEOSGeometry* line(const Polyline& points) const { return GEOSGeom_createLineString_r(geos_, sequence(points)); }
    GEOSGeometry* polygon(const Polygon& area) const
    {
        std::vector<GEOSGeometry*> holes;
        for (const auto& hole : area.holes) {
            holes.push_back(GEOSGeom_createLinearRing_r(geos_, sequence(closed(hole))));
        }
        auto* shell = GEOSGeom_createLinearRing_r(geos_, sequence(closed(area.outer)));
        return GEOSGeom_createPolygon_r(geos_, shell, holes.data(), static_cast<unsigned>(holes.size()));
    }
    double distance(GEOSGeometry* a, GEOSGeometry* b) const
    {
        double result = -1;
        GEOSDistance_r(geos_, a, b, &result);
        GEOSGeom_destroy_r(geos_, a);
        GEOSGeom_destroy_r(geos_, b);
        return result;
    }

  private:
    GEOSCoordSequence* sequence(const Polyline& points) const
    {
        std::vector<double> numbers;
        for (const auto& p : points) {
            numbers.insert(numbers.end(), {p.x_m, p.y_m});
        }
        return GEOSCoordSeq_copyFromBuffer_r(geos_, numbers.data(), static_cast<unsigned>(points.size()), 0, 0);
    }
    GEOSContextHandle_t geos_;
};

Polyline random_line(std::mt19937& random, int count, double size)
{
    std::uniform_real_distribution<double> meters(-size, size);
    Polyline line;
    for (int i = 0; i < count; ++i) {
        const double x = meters(random);
        line.push_back({.x_m = x, .y_m = meters(random)});
    }
    return line;
}

/// A star-shaped yard with a smaller star-shaped pond in it, valid by construction.
Polygon random_yard(std::mt19937& random)
{
    std::uniform_real_distribution<double> share(0.6, 1.0);
    const auto star = [&](double radius, int corners) {
        Ring ring;
        for (int i = 0; i < corners; ++i) {
            const double angle = 2 * std::numbers::pi * i / corners;
            const double r = radius * share(random);
            ring.push_back({.x_m = r * std::cos(angle), .y_m = r * std::sin(angle)});
        }
        return ring;
    };
    return {.outer = star(10, 9), .holes = {star(4, 7)}};
}

double perimeter(const Ring& ring)
{
    return length_m(closed(ring));
}

Ring rectangle(double x, double y, double width, double height)
{
    return {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
}

} // namespace

TEST_CASE("areas and perimeters agree with the shoelace values", "[geom]")
{
    // docs/sources.md, A1 to A5, feet taken as the unit.
    const Polygon lot{.outer = rectangle(0, 0, 100, 150), .holes = {}};
    CHECK(area_m2(lot) == 15000);
    CHECK(area_m2(lot) * sq_ft_in_m2 == Approx(1393.5456).epsilon(1e-10));
    CHECK(area_m2({.outer = rectangle(2963503.91, 254759.80, 100, 150), .holes = {}}) == Approx(15000).margin(1e-3));
    CHECK(area_m2({.outer = lot.outer, .holes = {rectangle(20, 20, 30, 40)}}) == Approx(13800).epsilon(1e-12));
    const Ring ell{{0, 0}, {120, 0}, {120, 60}, {70, 60}, {70, 140}, {0, 140}};
    CHECK(area_m2({.outer = ell, .holes = {}}) == Approx(12800).epsilon(1e-12));
    CHECK(perimeter(ell) == Approx(520).epsilon(1e-12));
    const Ring five{{10, 10}, {110, 30}, {130, 120}, {60, 160}, {5, 90}};
    CHECK(area_m2({.outer = five, .holes = {}}) == Approx(12925).epsilon(1e-12));
    CHECK(perimeter(five) == Approx(443.97698).epsilon(1e-8));
    // A hole's and a ring's direction do not matter.
    CHECK(area_m2({.outer = {ell.rbegin(), ell.rend()}, .holes = {}}) == Approx(12800).epsilon(1e-12));
}

TEST_CASE("buffer polygons have the areas of their closed form", "[geom]")
{
    // docs/sources.md, A6 to A9: a circle as a polygon of 4 q sides, area 2 q r^2 sin(pi / 2q), inner radius r cos(pi /
    // 4q).
    const auto circle = [](int quadrant, double radius, double length) {
        Ring ring;
        for (int i = 0; i <= 4 * quadrant; ++i) {
            const double angle = std::numbers::pi * (i / (2.0 * quadrant) - 0.5);
            const double shift = 2 * i <= 4 * quadrant ? length : 0;
            if (2 * i == 4 * quadrant) {
                ring.push_back({.x_m = length + radius * std::cos(angle), .y_m = radius * std::sin(angle)});
            }
            if (i < 4 * quadrant) {
                ring.push_back({.x_m = shift * (2 * i < 4 * quadrant) + radius * std::cos(angle),
                                .y_m = radius * std::sin(angle)});
            }
        }
        ring.push_back({.x_m = 0, .y_m = -radius});
        return Polygon{.outer = ring, .holes = {}};
    };
    CHECK(area_m2(circle(8, 1.5, 0)) == Approx(7.0232516).epsilon(1e-7));
    CHECK(area_m2(circle(16, 1, 0)) == Approx(3.1365485).epsilon(1e-7));
    CHECK(area_m2(circle(8, 1.5, 100)) == Approx(307.0232516).epsilon(1e-8));
    CHECK(boundary_distance_m({0, 0}, circle(8, 1, 0)) == Approx(0.9951847).epsilon(1e-7));
    CHECK(boundary_distance_m({0, 0}, circle(16, 1, 0)) == Approx(0.9987955).epsilon(1e-7));
}

TEST_CASE("distances between random lines and yards are those of GEOS", "[geom]")
{
    const Reference geos;
    std::mt19937 random(2);
    for (int i = 0; i < 2000; ++i) {
        const auto a = random_line(random, 4, 15);
        const auto b = random_line(random, 3, 15);
        const auto yard = random_yard(random);
        const Point p = a.front();
        REQUIRE(distance_m(a, b) == Approx(geos.distance(geos.line(a), geos.line(b))).margin(1e-12));
        REQUIRE(distance_m(a, yard) == Approx(geos.distance(geos.line(a), geos.polygon(yard))).margin(1e-12));
        REQUIRE(distance_m(p, yard) == Approx(geos.distance(geos.line({p, p}), geos.polygon(yard))).margin(1e-12));
        REQUIRE(distance_m(p, b) == Approx(geos.distance(geos.line({p, p}), geos.line(b))).margin(1e-12));
        REQUIRE(contains(yard, p) == (geos.distance(geos.line({p, p}), geos.polygon(yard)) == 0));
    }
}

TEST_CASE("two pieces of one slanting line, far apart along it, do not meet", "[geom]")
{
    // Rounded side tests take the last bits of such pieces for a crossing and give 0.
    std::mt19937 random(3);
    std::uniform_real_distribution<double> any(-3, 3);
    for (int i = 0; i < 20000; ++i) {
        const double slope = any(random);
        const auto at = [&](double x) { return Point{.x_m = x, .y_m = 0.1 + slope * x}; };
        REQUIRE(distance_m(Polyline{at(0.1), at(1.3)}, Polyline{at(5.7), at(9.1)}) ==
                Approx(4.4 * std::hypot(1, slope)).epsilon(1e-12));
    }
}

TEST_CASE("a line of one point is as far as that point", "[geom]")
{
    CHECK(distance_m(Polyline{{0, 3}}, Polyline{{-5, 0}, {5, 0}}) == 3);
    CHECK(distance_m(Polyline{{-5, 0}, {5, 0}}, Polyline{{0, 3}}) == 3);
    CHECK(distance_m(Polyline{{0, 3}}, Polygon{.outer = rectangle(-5, -5, 10, 5), .holes = {}}) == 3);
    CHECK(distance_m(Polyline{}, Polyline{{0, 3}}) == std::numeric_limits<double>::infinity());
}

TEST_CASE("the boundary belongs to a yard, also that of its pond", "[geom]")
{
    const Polygon yard{.outer = rectangle(0, 0, 10, 10), .holes = {rectangle(4, 4, 2, 2)}};
    for (const Point on : {Point{0, 0}, Point{10, 5}, Point{5, 10}, Point{4, 4}, Point{6, 5}, Point{5, 4}}) {
        CHECK(contains(yard, on));
    }
    CHECK_FALSE(contains(yard, {5, 5}));
    CHECK_FALSE(contains(yard, {-1, 0})); // in line with an edge
    CHECK_FALSE(contains(yard, {11, 10}));
    CHECK_FALSE(contains(yard, {-1, 4}));
    CHECK(distance_m(Point{5, 5}, yard) == 1);
}

TEST_CASE("stations and places along a line undo each other", "[geom]")
{
    const Polyline line{{0, 0}, {3, 4}, {3, 4}, {15, 9}}; // 5 m, nothing, 13 m
    CHECK(length_m(line) == 18);
    for (double s = 0; s <= 18; s += 0.25) {
        CHECK(station_of(line, point_at(line, s)) == Approx(s).margin(1e-12));
    }
    CHECK(point_at(line, -1) == line.front());
    CHECK(point_at(line, 99) == line.back());
    CHECK(station_of(line, {100, 100}) == 18);
}

TEST_CASE("turns are measured from straight on", "[geom]")
{
    CHECK(turn_rad({0, 0}, {1, 0}, {2, 0}) == 0);
    CHECK(turn_rad({0, 0}, {1, 0}, {2, 1}) == Approx(std::numbers::pi / 4));
    CHECK(turn_rad({0, 0}, {1, 0}, {2, -1}) == Approx(std::numbers::pi / 4));
    CHECK(turn_rad({0, 0}, {1, 0}, {1, 3}) == Approx(std::numbers::pi / 2));
    CHECK(turn_rad({0, 0}, {1, 0}, {0, 0}) == Approx(std::numbers::pi));
}

TEST_CASE("an invalid polygon is named with its fault", "[geom]")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(is_valid({.outer = rectangle(0, 0, 2, 2), .holes = {}}));
    const auto bowtie = invalid_because({.outer = {{0, 0}, {2, 2}, {2, 0}, {0, 2}}, .holes = {}});
    REQUIRE(bowtie);
    CHECK(*bowtie == "Self-intersection[1 1]"); // by hand: the diagonals of the square meet in its middle
    CHECK_FALSE(is_valid({.outer = rectangle(0, 0, 2, 2), .holes = {rectangle(5, 5, 1, 1)}}));
    CHECK_FALSE(is_valid({.outer = {{0, 0}, {1, 1}}, .holes = {}}));
    CHECK_FALSE(is_valid({.outer = {{0, 0}, {1, 1}, {nan, 0}}, .holes = {}}));
    CHECK_FALSE(is_valid({}));
}

TEST_CASE("a trench strip restores the area it covers", "[geom]")
{
    const Polygon lawn{.outer = rectangle(0, 0, 20, 10), .holes = {}};
    // Straight across: 10 m x 0.3 m, on a site with seven-digit coordinates too.
    CHECK(strip_area_inside_m2({{5, -3}, {5, 14}}, 0.3, lawn) == Approx(3.0).epsilon(1e-12));
    const double x0 = 1963503.91, y0 = 254759.80;
    CHECK(strip_area_inside_m2({{x0 + 5, y0 - 3}, {x0 + 5, y0 + 14}}, 0.3,
                               {.outer = rectangle(x0, y0, 20, 10), .holes = {}}) == Approx(3.0).epsilon(1e-8));
    // A mitred right angle has the area of its axis times its width: what the outside gains the inside loses.
    CHECK(strip_area_inside_m2({{5, 2}, {12, 2}, {12, 7}}, 0.4, lawn) == Approx(12 * 0.4).epsilon(1e-12));
    // Half on the lawn when its axis is the lawn's edge; none beyond; none without length or width.
    CHECK(strip_area_inside_m2({{2, 0}, {12, 0}}, 0.5, lawn) == Approx(10 * 0.25).epsilon(1e-12));
    CHECK(strip_area_inside_m2({{2, -5}, {12, -5}}, 0.5, lawn) == 0);
    CHECK(strip_area_inside_m2({{2, 5}, {2, 5}}, 0.5, lawn) == 0);
    CHECK(strip_area_inside_m2({{2, 5}, {7, 5}}, 0, lawn) == 0);
    // Less a pond: 10 m of axis, 2 m of it in the hole.
    CHECK(strip_area_inside_m2({{5, 0}, {5, 10}}, 0.3, {.outer = lawn.outer, .holes = {rectangle(4, 4, 2, 2)}}) ==
          Approx(8 * 0.3).epsilon(1e-12));
    CHECK_THROWS_AS(strip_area_inside_m2({{0, 0}, {1, 1}}, std::nan(""), lawn), Error);
    CHECK_THROWS_AS(
        strip_area_inside_m2({{0, 0}, {1, 1}}, 0.3, {.outer = {{0, 0}, {2, 2}, {2, 0}, {0, 2}}, .holes = {}}), Error);
}

TEST_CASE("a strip that bends but never meets itself has no hole, not even one without area", "[geom]")
{
    std::mt19937 random(7);
    std::uniform_real_distribution<double> some(-1, 1);
    for (int i = 0; i < 400; ++i) {
        // One bend of less than a right angle between runs longer than the strip is wide: simply connected.
        const double turn = some(random) * 1.5;
        const double heading = some(random) * 3;
        const Point bend{.x_m = 3 + some(random), .y_m = 5 + some(random)};
        const Point from{.x_m = bend.x_m - 6 * std::cos(heading), .y_m = bend.y_m - 6 * std::sin(heading)};
        const Point to{.x_m = bend.x_m + 7 * std::cos(heading + turn), .y_m = bend.y_m + 7 * std::sin(heading + turn)};
        const auto areas = strip_around({from, bend, to}, 1.5);
        CAPTURE(i, turn, heading);
        REQUIRE(areas.size() == 1);
        CHECK(areas[0].holes.empty());
    }
}
