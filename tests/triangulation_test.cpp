#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/triangulation.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

using namespace trenchwright;

namespace {

const Point& corner(const std::vector<Point>& places, int i)
{
    return places[static_cast<std::size_t>(i)];
}

double area_of(const std::vector<Point>& places, const Triangle& t)
{
    return area_m2({.outer = {corner(places, t[0]), corner(places, t[1]), corner(places, t[2])}, .holes = {}});
}

double total_area(const std::vector<Point>& places, const std::vector<Triangle>& triangles)
{
    double sum = 0;
    for (const auto& t : triangles) {
        sum += area_of(places, t);
    }
    return sum;
}

/// Area of the convex hull by GEOS, the reference.
double geos_hull_area(const std::vector<Point>& places)
{
    const auto geos = GEOS_init_r();
    std::vector<double> numbers;
    for (const auto& p : places) {
        numbers.insert(numbers.end(), {p.x_m, p.y_m});
    }
    auto* seq = GEOSCoordSeq_copyFromBuffer_r(geos, numbers.data(), static_cast<unsigned>(places.size()), 0, 0);
    auto* line = GEOSGeom_createLineString_r(geos, seq);
    auto* hull = GEOSConvexHull_r(geos, line);
    double area = 0;
    GEOSArea_r(geos, hull, &area);
    GEOSGeom_destroy_r(geos, hull);
    GEOSGeom_destroy_r(geos, line);
    GEOS_finish_r(geos);
    return area;
}

/// The triangles of the GEOS Delaunay builder as sorted corner coordinates.
std::vector<std::array<double, 6>> geos_triangles(const std::vector<Point>& places)
{
    const auto geos = GEOS_init_r();
    std::vector<double> numbers;
    for (const auto& p : places) {
        numbers.insert(numbers.end(), {p.x_m, p.y_m});
    }
    auto* seq = GEOSCoordSeq_copyFromBuffer_r(geos, numbers.data(), static_cast<unsigned>(places.size()), 0, 0);
    auto* line = GEOSGeom_createLineString_r(geos, seq);
    auto* made = GEOSDelaunayTriangulation_r(geos, line, 0, 0);
    std::vector<std::array<double, 6>> result;
    for (int i = 0; i < GEOSGetNumGeometries_r(geos, made); ++i) {
        const auto* ring = GEOSGetExteriorRing_r(geos, GEOSGetGeometryN_r(geos, made, i));
        const auto* corners = GEOSGeom_getCoordSeq_r(geos, ring);
        std::array<std::array<double, 2>, 3> c{};
        for (unsigned k = 0; k < 3; ++k) {
            GEOSCoordSeq_getXY_r(geos, corners, k, &c[k][0], &c[k][1]);
        }
        std::sort(c.begin(), c.end());
        result.push_back({c[0][0], c[0][1], c[1][0], c[1][1], c[2][0], c[2][1]});
    }
    GEOSGeom_destroy_r(geos, made);
    GEOSGeom_destroy_r(geos, line);
    GEOS_finish_r(geos);
    std::sort(result.begin(), result.end());
    return result;
}

std::vector<std::array<double, 6>> as_corners(const std::vector<Point>& places, const std::vector<Triangle>& triangles)
{
    std::vector<std::array<double, 6>> result;
    for (const auto& t : triangles) {
        std::array<std::array<double, 2>, 3> c{};
        for (std::size_t k = 0; k < 3; ++k) {
            c[k] = {corner(places, t[k]).x_m, corner(places, t[k]).y_m};
        }
        std::sort(c.begin(), c.end());
        result.push_back({c[0][0], c[0][1], c[1][0], c[1][1], c[2][0], c[2][1]});
    }
    std::sort(result.begin(), result.end());
    return result;
}

std::vector<Point> random_places(std::size_t count, unsigned seed, double x0 = 0, double y0 = 0)
{
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> meters(0, 60);
    std::vector<Point> places;
    for (std::size_t i = 0; i < count; ++i) {
        const double x = meters(random);
        places.push_back({.x_m = x0 + x, .y_m = y0 + meters(random)});
    }
    return places;
}

/// Shots along a curb that bows by 9 mm over 40 m, and two in the lawn.
std::vector<Point> bowed_curb()
{
    return {{0, 0}, {10, 0.005}, {20, 0.009}, {30, 0.005}, {40, 0}, {20, 20}, {3, 9}, {33, 8}};
}

/// Largest share by which a place lies inside the circle of a triangle; 0 or below for a Delaunay one.
double deepest_in_a_circle(const std::vector<Point>& places, const std::vector<Triangle>& triangles)
{
    double deepest = -1;
    for (const auto& t : triangles) {
        const Point a = corner(places, t[0]);
        const Point b = corner(places, t[1]);
        const Point c = corner(places, t[2]);
        const double bx = b.x_m - a.x_m, by = b.y_m - a.y_m, cx = c.x_m - a.x_m, cy = c.y_m - a.y_m;
        const double d = 2 * (bx * cy - by * cx);
        const Point middle{.x_m = a.x_m + (cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / d,
                           .y_m = a.y_m + (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / d};
        const double radius = distance_m(middle, a);
        for (const auto& p : places) {
            deepest = std::max(deepest, 1 - distance_m(middle, p) / radius);
        }
    }
    return deepest;
}

} // namespace

TEST_CASE("triangles of random places fill the hull, turn left and have empty circles", "[triangulation]")
{
    for (unsigned seed = 1; seed <= 30; ++seed) {
        const auto places = random_places(4 + 3 * seed, seed, 1963503.91, 254759.80);
        const auto triangles = delaunay(places);
        CHECK(total_area(places, triangles) == Approx(geos_hull_area(places)).epsilon(1e-9));
        CHECK(deepest_in_a_circle(places, triangles) < 1e-6);
        for (const auto& t : triangles) {
            REQUIRE(turn_sign(corner(places, t[0]), corner(places, t[1]), corner(places, t[2])) > 0);
        }
    }
}

TEST_CASE("every GEOS Delaunay triangle of random places is among ours", "[triangulation]")
{
    // Random places have one Delaunay triangulation only. GEOS may leave out thin triangles at the hull.
    for (unsigned seed = 101; seed <= 120; ++seed) {
        const auto places = random_places(300, seed);
        const auto ours = as_corners(places, delaunay(places));
        const auto theirs = geos_triangles(places);
        CHECK(std::includes(ours.begin(), ours.end(), theirs.begin(), theirs.end()));
        CHECK(theirs.size() > ours.size() * 9 / 10);
    }
}

TEST_CASE("the ground along a slightly bowed curb is not lost", "[triangulation]")
{
    // The reason this is not GEOS's builder: GEOS 3.11.1 leaves 0.19 m2 along the curb without a triangle.
    const auto places = bowed_curb();
    const auto triangles = delaunay(places);
    CHECK(total_area(places, triangles) == Approx(geos_hull_area(places)).epsilon(1e-12));
    // Euler: 2n - 2 - h triangles, with the hull 0, 40, 33 8, 20 20, 3 9: h = 5.
    CHECK(triangles.size() == 2 * 8 - 2 - 5);
}

TEST_CASE("three nearly straight places still make one triangle", "[triangulation]")
{
    const std::vector<Point> places{{0, 0}, {10, 1e-9}, {20, 0}};
    CHECK(delaunay(places) == std::vector<Triangle>{{0, 2, 1}});
}

TEST_CASE("places in one line make no triangle", "[triangulation]")
{
    CHECK(delaunay(std::vector<Point>{{0, 0}, {1, 1}, {2, 2}, {7, 7}}).empty());
    CHECK(delaunay(std::vector<Point>{{3, 0}, {3, 1}, {3, 2}}).empty());
    CHECK(delaunay(std::vector<Point>{{0, 0}, {1, 1}}).empty());
    CHECK(delaunay(std::vector<Point>{}).empty());
}

TEST_CASE("grids with all places on circles and hull lines are filled without gap or overlap", "[triangulation]")
{
    for (const bool turned : {false, true}) {
        for (int side = 2; side <= 12; ++side) {
            std::vector<Point> places;
            for (int i = 0; i < side; ++i) {
                for (int j = 0; j < side; ++j) {
                    places.push_back(turned ? Point{i * 0.6 - j * 0.8, i * 0.8 + j * 0.6}
                                            : Point{static_cast<double>(i), static_cast<double>(j)});
                }
            }
            const auto triangles = delaunay(places);
            const double cells = (side - 1.0) * (side - 1.0);
            CHECK(total_area(places, triangles) == Approx(cells).epsilon(1e-12));
            if (!turned) { // a turned grid's hull bows by rounding and has thin triangles besides
                CHECK(static_cast<double>(triangles.size()) == 2 * cells);
            }
        }
    }
}

TEST_CASE("a first column of places in line is fanned from either side", "[triangulation]")
{
    for (const double aside : {-3.0, 3.0}) {
        // Sweeping by x meets the four places on the line y = x first, then one above or below it.
        const std::vector<Point> places{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4 + aside}};
        const auto triangles = delaunay(places);
        CHECK(triangles.size() == 3);
        // Shoelace: the triangle (0,0) (3,3) (4, 4 + d) has area |3 d| / 2.
        CHECK(total_area(places, triangles) == Approx(4.5).epsilon(1e-12));
    }
}

TEST_CASE("the order of the places changes their numbers only", "[triangulation]")
{
    const auto places = random_places(200, 7);
    auto reversed = places;
    std::reverse(reversed.begin(), reversed.end());
    CHECK(as_corners(places, delaunay(places)) == as_corners(reversed, delaunay(reversed)));
}

TEST_CASE("turn signs are exact where rounded ones are noise", "[triangulation]")
{
    // Closed form: on y = x every turn is 0; one step of the last bit off it decides the sign.
    // Kettner et al. 2008 show the naive sign fail near (0.5, 0.5) against (12, 12), (24, 24).
    for (int i = 0; i < 64; ++i) {
        for (int j = 0; j < 64; ++j) {
            const Point p{.x_m = 0.5 + i * 0x1p-53, .y_m = 0.5 + j * 0x1p-53};
            const int expected = (p.y_m > p.x_m) - (p.y_m < p.x_m);
            REQUIRE(turn_sign({12, 12}, {24, 24}, p) == expected);
            REQUIRE(turn_sign({24, 24}, p, {12, 12}) == expected);
            REQUIRE(turn_sign(p, {24, 24}, {12, 12}) == -expected);
        }
    }
}
