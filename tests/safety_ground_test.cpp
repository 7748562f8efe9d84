#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/cut_fill.hpp"
#include "trenchwright/ground/facets.hpp"
#include "trenchwright/ground/fall_line.hpp"
#include "trenchwright/ground/grade_away.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <random>

using namespace trenchwright;

namespace {

using Height = std::function<double(double, double)>;

/// Spots at random places of a square of 0 to `size` with its corners, at heights by a formula.
std::vector<Point3> spots(unsigned seed, int count, double size, const Height& height)
{
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> place(0, size);
    std::vector<Point3> all;
    const auto add = [&](double x, double y) { all.push_back({.x_m = x, .y_m = y, .elev_m = height(x, y)}); };
    for (const double x : {0.0, size}) {
        add(x, 0);
        add(x, size);
    }
    for (int i = 0; i < count; ++i) {
        const double x = place(random);
        const double y = place(random);
        add(x, y);
    }
    return all;
}

Ground surface(const std::vector<Point3>& all)
{
    return Ground::from_spots(all, {});
}

Facets facets(const std::vector<Point3>& all)
{
    return facets_of(surface(all));
}

Raster grid(int cols, int rows, double step, std::vector<double> elevs)
{
    return {.cols = cols,
            .rows = rows,
            .origin = {},
            .step_col = {.x_m = step, .y_m = 0},
            .step_row = {.x_m = 0, .y_m = step},
            .elev_m = std::move(elevs)};
}

const Height level = [](double, double) { return 0.0; };

} // namespace

TEST_CASE("Z2: on a plane water runs straight down to the edge of what was surveyed", "[fall line]")
{
    const Height plane = [](double x, double y) { return 100 + 0.02 * x - 0.015 * y; };
    const auto line = fall_line(facets(spots(1, 60, 100, plane)), {.x_m = 60, .y_m = 40});
    REQUIRE(line);
    CHECK(line->end == FallEnd::edge_of_ground);
    const auto& last = line->points.back();
    // docs/sources.md, Z2: falls toward azimuth 306.870 deg, that is along (-0.8, 0.6), 2.5 % steep
    const double run = std::hypot(last.x_m - 60, last.y_m - 40);
    CHECK((last.x_m - 60) / run == Approx(-0.8).margin(1e-9));
    CHECK((last.y_m - 40) / run == Approx(0.6).margin(1e-9));
    CHECK(last.x_m == Approx(0).margin(1e-6)); // leaves by the west side: 60 / 0.8 = 75 m on, y = 85
    CHECK(line->points.front().elev_m - last.elev_m == Approx(0.025 * 75));
}

TEST_CASE("water gathers in a valley and runs along it", "[fall line]")
{
    // V-shaped valley along x = 10, falling north: |x - 10| / 5 - y / 50
    std::vector<Point3> all;
    for (const double x : {0.0, 10.0, 20.0}) {
        for (const double y : {0.0, 20.0}) {
            all.push_back({.x_m = x, .y_m = y, .elev_m = std::abs(x - 10) / 5 - y / 50});
        }
    }
    const auto line = fall_line(facets(all), {.x_m = 4, .y_m = 1});
    REQUIRE(line);
    CHECK(line->end == FallEnd::edge_of_ground);
    CHECK(line->points.back().x_m == Approx(10));
    CHECK(line->points.back().y_m == Approx(20));
    // down the side along (0.2, 0.02): meets the valley 6 m on at y = 1.6
    const auto met = std::ranges::any_of(
        line->points, [](const Point3& p) { return std::abs(p.x_m - 10) < 1e-9 && std::abs(p.y_m - 1.6) < 1e-9; });
    CHECK(met);
}

TEST_CASE("water stands in a bowl and on level ground", "[fall line]")
{
    std::vector<Point3> bowl{{10, 10, 0}};
    for (int i = 0; i < 12; ++i) {
        const double a = i * std::numbers::pi / 6;
        bowl.push_back({.x_m = 10 + 8 * std::cos(a), .y_m = 10 + 8 * std::sin(a), .elev_m = 1});
    }
    const auto line = fall_line(facets(bowl), {.x_m = 13, .y_m = 11});
    REQUIRE(line);
    CHECK(line->end == FallEnd::low_spot);
    CHECK(line->points.back().x_m == Approx(10));
    CHECK(line->points.back().y_m == Approx(10));
    CHECK(fall_line(facets(spots(2, 20, 10, level)), {.x_m = 3, .y_m = 4})->end == FallEnd::level);
    CHECK_FALSE(fall_line(facets(bowl), {.x_m = 100, .y_m = 0}));
}

TEST_CASE("nowhere along its way could the water have gone down more steeply", "[fall line]")
{
    int steps = 0;
    for (unsigned seed = 1; seed <= 60; ++seed) {
        std::mt19937 random(seed);
        std::uniform_real_distribution<double> height(0, 3);
        const auto all = spots(seed, 40, 30, [&](double, double) { return height(random); });
        const auto ground = surface(all);
        const auto line = fall_line(facets_of(ground), {.x_m = 13, .y_m = 17});
        REQUIRE(line);
        CHECK(line->end != FallEnd::not_followed);
        for (std::size_t i = 1; i < line->points.size(); ++i) {
            const auto& a = line->points[i - 1];
            const auto& b = line->points[i];
            CHECK(b.elev_m <= a.elev_m + 1e-9);
            const double run = distance_m(flat(a), flat(b));
            if (run < 1e-3) {
                continue;
            }
            // an arm's length down the way against every direction, from the middle of the piece
            const Point middle{.x_m = (a.x_m + b.x_m) / 2, .y_m = (a.y_m + b.y_m) / 2};
            const double reach = run * 1e-3;
            const double here = ground.elev_m(middle).value();
            const double down = (a.elev_m - b.elev_m) / run * reach;
            double best = 0;
            for (int k = 0; k < 720; ++k) {
                const double angle = k * std::numbers::pi / 360;
                const auto there = ground.elev_m(
                    {.x_m = middle.x_m + reach * std::cos(angle), .y_m = middle.y_m + reach * std::sin(angle)});
                best = std::max(best, here - there.value_or(here));
            }
            CHECK(down >= best * (1 - 1e-3) - 1e-9);
            ++steps;
        }
        if (line->end == FallEnd::low_spot) { // lower than everything around it
            const auto& low = line->points.back();
            for (int k = 0; k < 360; ++k) {
                const double angle = k * std::numbers::pi / 180;
                const auto there =
                    ground.elev_m({.x_m = low.x_m + 1e-3 * std::cos(angle), .y_m = low.y_m + 1e-3 * std::sin(angle)});
                CHECK(there.value_or(low.elev_m) >= low.elev_m - 1e-9);
            }
        }
    }
    CHECK(steps > 100);
}

TEST_CASE("a grid's triangles hold the volume of the bilinear surface", "[facets]")
{
    // docs/sources.md, Z6: corners 10, 12, 11, 17: mean 12.5 whatever the diagonal; here against a surface at 0
    const auto square = facets_of(grid(2, 2, 1, {10, 12, 11, 17}));
    const auto floor = facets_of(grid(2, 2, 1, {0, 0, 0, 0}));
    CHECK(cut_and_fill(floor, square, {}).fill_m3 == Approx(12.5));
    CHECK(cut_and_fill(floor, square, {}).highest_fill_m == Approx(17));
    const auto holed = facets_of(grid(3, 2, 1, {1, 1, std::numeric_limits<double>::quiet_NaN(), 1, 1, 1}));
    CHECK(holed.triangles.size() == 4); // the square with a missing corner is not there
}

TEST_CASE("nine nodes of a borrow pit give the earth of docs/sources.md, Z8", "[cut and fill]")
{
    const double side = 25 * ft_in_m;
    std::vector<double> cuts{1, 2, 3, 2, 4, 2, 3, 2, 1};
    std::ranges::for_each(cuts, [](double& cut) { cut *= -ft_in_m; });
    const auto result =
        cut_and_fill(facets_of(grid(3, 3, side, std::vector<double>(9, 0.0))), facets_of(grid(3, 3, side, cuts)), {});
    CHECK(result.cut_m3 / std::pow(ft_in_m, 3) == Approx(6250).epsilon(1e-9));
    CHECK(result.cut_m3 / cubic_yd_in_m3 == Approx(231.48).margin(0.005));
    CHECK(result.fill_m3 == 0);
    CHECK(result.deepest_cut_m == Approx(4 * ft_in_m));
}

TEST_CASE("a lot filled to one height takes the earth of docs/sources.md, Z9", "[cut and fill]")
{
    const double side = 50 * ft_in_m;
    std::vector<double> now{87.6, 87.6, 87.6, 88.6};
    std::ranges::for_each(now, [](double& elev) { elev *= ft_in_m; });
    const auto result = cut_and_fill(facets_of(grid(2, 2, side, now)),
                                     facets_of(grid(2, 2, side, std::vector<double>(4, 90 * ft_in_m))), {});
    CHECK(result.fill_m3 / cubic_yd_in_m3 == Approx(199).margin(0.1));
    CHECK(result.fill_m2 == Approx(side * side));
}

TEST_CASE("a plane tilted about a line cuts as much as it fills", "[cut and fill]")
{
    // z = (x - 10) / 10 over 20 x 20: two wedges, each 10 x 20 x 1 / 2 = 100
    const auto result = cut_and_fill(facets(spots(3, 30, 20, level)),
                                     facets(spots(4, 50, 20, [](double x, double) { return (x - 10) / 10; })), {});
    CHECK(result.cut_m3 == Approx(100));
    CHECK(result.fill_m3 == Approx(100));
    CHECK(result.cut_m2 == Approx(200));
    CHECK(result.fill_m2 == Approx(200));
}

TEST_CASE("cut and fill agree with slicing, and swap with the surfaces", "[cut and fill]")
{
    for (unsigned seed = 1; seed <= 10; ++seed) {
        std::mt19937 random(seed);
        std::uniform_real_distribution<double> height(0, 1);
        const auto any = [&](double, double) { return height(random); };
        const auto now = spots(seed, 25, 20, any);
        const auto then = spots(seed + 100, 35, 20, any);
        const auto ground = surface(now);
        const auto wanted = surface(then);
        const Polygon ell{.outer = {{3, 3}, {12, 3}, {12, 8}, {7, 8}, {7, 14}, {3, 14}}, .holes = {}};
        const auto result = cut_and_fill(facets_of(ground), facets_of(wanted), {ell});
        double cut = 0;
        double fill = 0;
        double most = 0;
        constexpr int n = 500;
        for (int i = 0; i < n * n; ++i) {
            const Point p{.x_m = 20.0 * (i % n + 0.5) / n, .y_m = 20.0 * (i / n + 0.5) / n};
            if (!contains(ell, p)) {
                const double higher = wanted.elev_m(p).value() - ground.elev_m(p).value();
                (higher > 0 ? fill : cut) += std::abs(higher) * 400.0 / (n * n);
                most = std::max(most, higher);
            }
        }
        CHECK(result.cut_m3 == Approx(cut).epsilon(2e-3));
        CHECK(result.fill_m3 == Approx(fill).epsilon(2e-3));
        CHECK(result.highest_fill_m >= most - 1e-9);
        CHECK(result.highest_fill_m <= most + 0.1);
        const auto back = cut_and_fill(facets_of(wanted), facets_of(ground), {ell});
        CHECK(back.fill_m3 == Approx(result.cut_m3).epsilon(1e-9));
        CHECK(back.cut_m3 == Approx(result.fill_m3).epsilon(1e-9));
    }
}

TEST_CASE("A4: what lies under a house is left out, whichever way its outline runs", "[cut and fill]")
{
    Polygon ell{.outer = {{0, 0}, {120, 0}, {120, 60}, {70, 60}, {70, 140}, {0, 140}}, .holes = {}};
    const auto now = facets(spots(5, 10, 200, level));
    const auto then = facets(spots(6, 10, 200, [](double, double) { return 1.0; }));
    CHECK(cut_and_fill(now, then, {ell}).fill_m3 == Approx(40'000 - 12'800));
    std::ranges::reverse(ell.outer);
    CHECK(cut_and_fill(now, then, {ell}).fill_m3 == Approx(40'000 - 12'800));
    ell.holes = {{{10, 10}, {20, 10}, {20, 20}, {10, 20}}}; // a court of 100
    CHECK(cut_and_fill(now, then, {ell}).fill_m3 == Approx(40'000 - 12'700));
}

TEST_CASE("IRC R401.3: the fall away from each wall over the first 10 ft", "[grade]")
{
    // 5 % to the east: 6 in in 10 ft away from the east wall, as much toward the west wall, none at the other two
    const auto ground = surface(spots(7, 40, 60, [](double x, double) { return 10 - 0.05 * x; }));
    const Polygon house{.outer = {{20, 20}, {40, 20}, {40, 35}, {20, 35}}, .holes = {}};
    const auto walls = grade_away(ground, {house}, 10 * ft_in_m, 0.25, 1);
    REQUIRE(walls.size() == 4);
    CHECK(walls[0].min_fall_m.value() == Approx(0).margin(1e-9));
    CHECK(walls[1].min_fall_m.value() == Approx(6 * inch_in_m));
    CHECK(walls[2].min_fall_m.value() == Approx(0).margin(1e-9));
    CHECK(walls[3].min_fall_m.value() == Approx(-6 * inch_in_m));
    CHECK_FALSE(grade_away(ground, {house}, 100, 0.25, 1)[0].min_fall_m); // off the survey: unknown
}
