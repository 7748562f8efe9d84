#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/conform.hpp"
#include "trenchwright/ground/ground.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>
#include <set>
#include <thread>

using namespace trenchwright;

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();
const double nan_m = std::numeric_limits<double>::quiet_NaN();

/// docs/sources.md, Z1.
double plane(const Point& p)
{
    return 100 + 0.02 * p.x_m - 0.015 * p.y_m;
}

Point3 on_plane(double x, double y)
{
    return {.x_m = x, .y_m = y, .elev_m = plane({.x_m = x, .y_m = y})};
}

/// Four corners of a square and random spots in it.
std::vector<Point3> random_spots(std::size_t count, unsigned seed, double size = 100)
{
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> meters(0, size), level(99, 103);
    std::vector<Point3> spots{
        {0, 0, level(random)}, {size, 0, level(random)}, {size, size, level(random)}, {0, size, level(random)}};
    while (spots.size() < count) {
        const double x = meters(random), y = meters(random);
        spots.push_back({.x_m = x, .y_m = y, .elev_m = level(random)});
    }
    return spots;
}

Ground plain(const std::vector<Point3>& spots)
{
    return Ground::from_spots(spots, {});
}

using Breaklines = std::vector<std::vector<Point3>>;

std::vector<std::array<Point, 2>> edges(const Ground& ground)
{
    std::vector<std::array<Point, 2>> result;
    const auto at = [&](int i) { return flat(ground.points()[static_cast<std::size_t>(i)]); };
    for (const auto& t : ground.triangles()) {
        result.insert(result.end(), {{at(t.a), at(t.b)}, {at(t.b), at(t.c)}, {at(t.c), at(t.a)}});
    }
    return result;
}

/// True when the segment a-b is made of triangle edges: those that lie on it cover its whole length.
bool is_held(const Ground& ground, const Point& a, const Point& b)
{
    std::vector<Interval> covered;
    for (const auto& edge : edges(ground)) {
        if (distance_m(edge[0], a, b) < 1e-9 && distance_m(edge[1], a, b) < 1e-9) {
            const double from = distance_m(a, edge[0]), to = distance_m(a, edge[1]);
            covered.push_back({std::min(from, to) - 1e-9, std::max(from, to) + 1e-9});
        }
    }
    const auto joined = merged(covered);
    return joined.size() == 1 && total_m(joined) >= distance_m(a, b);
}

bool holds(const Ground& ground, const Breaklines& lines)
{
    for (const auto& line : lines) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            if (!is_held(ground, flat(line[i - 1]), flat(line[i]))) {
                return false;
            }
        }
    }
    return true;
}

Raster cell_of_four()
{
    // docs/sources.md, Z4: corners (0,0) 10, (1,0) 12, (0,1) 11, (1,1) 17.
    return {.cols = 2, .rows = 2, .origin = {0, 0}, .step_col = {1, 0}, .step_row = {0, 1}, .elev_m = {10, 12, 11, 17}};
}

Raster plane_raster(int cols, int rows, Point origin, Point step_col, Point step_row)
{
    Raster raster{
        .cols = cols, .rows = rows, .origin = origin, .step_col = step_col, .step_row = step_row, .elev_m = {}};
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            raster.elev_m.push_back(plane({.x_m = origin.x_m + col * step_col.x_m + row * step_row.x_m,
                                           .y_m = origin.y_m + col * step_col.y_m + row * step_row.y_m}));
        }
    }
    return raster;
}

} // namespace

TEST_CASE("a plane stays a plane, by triangles and by raster", "[ground]")
{
    // docs/sources.md, Z1: 99.8125 at (37.5, 62.5); Z2: slope 2.5 %, from the gradient (0.02, -0.015).
    auto spots = random_spots(60, 1);
    for (auto& p : spots) {
        p.elev_m = plane(flat(p));
    }
    const auto tin = plain(spots);
    const auto dem = Ground::from_raster(plane_raster(30, 30, {-3, -1}, {4, 1}, {-0.5, 5}));
    for (const Ground* ground : {&tin, &dem}) {
        CHECK(ground->elev_m({37.5, 62.5}).value() == Approx(99.8125).margin(1e-9));
        const double east = ground->elev_m({38.5, 62.5}).value() - 99.8125;
        const double north = ground->elev_m({37.5, 63.5}).value() - 99.8125;
        CHECK(std::hypot(east, north) == Approx(0.025).margin(1e-9));
        const auto profile = ground->along({{10, 20}, {70, 60}, {30, 80}}, endless).value();
        for (const auto& g : profile) {
            REQUIRE(g.elev_m == Approx(plane(point_at({{10, 20}, {70, 60}, {30, 80}}, g.station_m))).margin(1e-9));
        }
    }
}

TEST_CASE("one cell is read bilinearly from a raster and flat from triangles", "[ground]")
{
    const auto dem = Ground::from_raster(cell_of_four());
    CHECK(dem.elev_m({0.25, 0.75}).value() == Approx(12.0).margin(1e-12)); // Z4
    // docs/sources.md, Z5: the diagonal is chosen by moving one corner outward by 1e-6, so that the other one is too
    // long.
    const double out = 1 + 1e-6;
    const auto rising = plain({{0, 0, 10}, {out, 0, 12}, {0, 1, 11}, {1, 1, 17}});
    const auto falling = plain({{0, 0, 10}, {1, 0, 12}, {0, 1, 11}, {out, out, 17}});
    CHECK(rising.elev_m({0.25, 0.75}).value() == Approx(12.25).margin(1e-4));
    CHECK(falling.elev_m({0.25, 0.75}).value() == Approx(11.25).margin(1e-4));
    // docs/sources.md, Z6: mean heights 12.5 bilinear, 12.83333 and 12.16667 by the diagonals; by 200 x 200 middles
    // here.
    double bilinear = 0, up = 0, down = 0;
    for (int i = 0; i < 200; ++i) {
        for (int j = 0; j < 200; ++j) {
            const Point p{.x_m = (i + 0.5) / 200, .y_m = (j + 0.5) / 200};
            bilinear += dem.elev_m(p).value() / 40000;
            up += rising.elev_m(p).value() / 40000;
            down += falling.elev_m(p).value() / 40000;
        }
    }
    CHECK(bilinear == Approx(12.5).margin(1e-9));
    CHECK(up == Approx(77.0 / 6).margin(1e-4));
    CHECK(down == Approx(73.0 / 6).margin(1e-4));
}

TEST_CASE("the trench of check value Z12 lies under flat ground", "[ground]")
{
    // docs/sources.md, Z12: ground 100.00, invert 96.00 at the outlet, 1 % upstream, 85.5 ft: depth 4.000 to 3.145,
    // mean 3.5725.
    const auto ground = plain({{-5, -5, 100}, {95, -5, 100}, {95, 5, 100}, {-5, 5, 100}, {30, 1, 100}});
    const auto profile = ground.along({{0, 0}, {85.5, 0}}, 10).value();
    double area = 0;
    const auto depth = [](const GroundPoint& g) { return g.elev_m - (96 + 0.01 * g.station_m); };
    for (std::size_t i = 1; i < profile.size(); ++i) {
        area += (profile[i].station_m - profile[i - 1].station_m) * (depth(profile[i]) + depth(profile[i - 1])) / 2;
    }
    CHECK(depth(profile.front()) == Approx(4.0).margin(1e-9));
    CHECK(depth(profile.back()) == Approx(3.145).margin(1e-9));
    CHECK(area / 85.5 == Approx(3.5725).margin(1e-9));
}

TEST_CASE("there is no ground outside the hull, and a point on it counts as inside", "[ground]")
{
    const auto ground = plain({on_plane(0, 0), on_plane(40, 0), on_plane(40, 30), on_plane(0, 30)});
    CHECK_FALSE(ground.elev_m({-0.001, 10}));
    CHECK_FALSE(ground.elev_m({20, 30.00001}));
    CHECK_FALSE(ground.elev_m({nan_m, 10}));
    CHECK_FALSE(ground.elev_m({1e300, -1e300}));
    CHECK(ground.elev_m({-0.5e-7, 10}).value() == Approx(plane({0, 10})).margin(1e-8));
    CHECK(ground.elev_m({40 + 0.5e-7, 30 + 0.5e-7}).value() == Approx(plane({40, 30})).margin(1e-8));
    CHECK_FALSE(ground.elev_m({-2e-7, 10}));
    CHECK(ground.outside_by_m({43, 34}) == Approx(5).epsilon(1e-12)); // 3-4-5 from the corner
    CHECK(ground.outside_by_m({20, -2}) == Approx(2).epsilon(1e-12));
    CHECK(ground.outside_by_m({20, 10}) == 0);
    CHECK_FALSE(ground.along({{20, 10}, {50, 10}}, endless));
    CHECK(ground.along({{0, -0.5e-7}, {40, -0.5e-7}}, endless)); // along the hull
    CHECK(ground.along({{0, 0}, {40, 30}}, endless));
    CHECK_FALSE(ground.along({{20, 10}, {nan_m, 10}}, endless));
    CHECK_FALSE(ground.along({}, endless));
    CHECK(ground.along({{20, 10}}, endless).value().size() == 1);
    CHECK_THROWS_AS(ground.along({{20, 10}, {30, 10}}, nan_m), Error);
    CHECK_THROWS_AS(ground.along({{20, 10}, {30, 10}}, 0), Error);
}

TEST_CASE("a profile has a point wherever a triangle edge is crossed and at each step", "[ground]")
{
    for (unsigned seed = 1; seed <= 40; ++seed) {
        const auto ground = plain(random_spots(80, seed));
        std::mt19937 random(seed);
        std::uniform_real_distribution<double> meters(1, 99);
        Polyline line;
        for (int i = 0; i < 4; ++i) {
            const double x = meters(random);
            line.push_back({.x_m = x, .y_m = meters(random)});
        }
        const auto profile = ground.along(line, 2.5).value();
        std::set<double> stations;
        for (std::size_t i = 0; i < profile.size(); ++i) {
            stations.insert(profile[i].station_m);
            REQUIRE(profile[i].elev_m ==
                    Approx(ground.elev_m(point_at(line, profile[i].station_m)).value()).margin(1e-9));
            if (i > 0) {
                REQUIRE(profile[i].station_m - profile[i - 1].station_m <= 2.5 + 1e-9);
                REQUIRE(profile[i].station_m > profile[i - 1].station_m);
            }
        }
        for (const auto& edge : edges(ground)) {
            for (const auto& met : crossings(line, {edge[0], edge[1]})) {
                const auto next = stations.lower_bound(met.station_m - 1e-6);
                REQUIRE(next != stations.end());
                REQUIRE(*next <= met.station_m + 1e-6);
            }
        }
    }
}

TEST_CASE("a profile along triangle edges and through corners has no gap", "[ground]")
{
    std::vector<Point3> grid;
    for (int i = 0; i <= 10; ++i) {
        for (int j = 0; j <= 10; ++j) {
            grid.push_back(on_plane(i * 0.6 - j * 0.8 + 12.3, i * 0.8 + j * 0.6 + 7.1));
        }
    }
    const auto ground = plain(grid);
    for (int j = 0; j <= 10; ++j) {
        const Point from = flat(grid[static_cast<std::size_t>(j)]), to = flat(grid[static_cast<std::size_t>(110 + j)]);
        const auto profile = ground.along({from, to}, endless);
        REQUIRE(profile);
        CHECK(profile->size() >= 11); // every grid place on the way
        CHECK(profile->back().elev_m == Approx(plane(to)).margin(1e-9));
        CHECK(ground.along({from, flat(grid[static_cast<std::size_t>(120 - j)])}, endless));
    }
}

TEST_CASE("a breakline keeps its own elevations across the triangles", "[ground]")
{
    // A curb top 6 in over the lawn, spots 1 m to both sides: without the breakline the low spots would cut through.
    std::vector<Point3> spots;
    for (int i = 0; i <= 20; ++i) {
        spots.push_back({.x_m = static_cast<double>(i), .y_m = -1, .elev_m = 100});
        spots.push_back({.x_m = static_cast<double>(i), .y_m = 1, .elev_m = 100});
    }
    const Breaklines curb{{{0.5, 0, 100.15}, {19.5, 0, 100.25}}};
    const auto ground = Ground::from_spots(spots, curb);
    CHECK(ground.findings().empty());
    CHECK(holds(ground, curb));
    for (double x = 0.5; x <= 19.5; x += 0.25) {
        CHECK(ground.elev_m({x, 0}).value() == Approx(100.15 + 0.1 * (x - 0.5) / 19).margin(1e-9));
    }
    CHECK_FALSE(is_held(plain(spots), {0.5, 0}, {19.5, 0}));
}

TEST_CASE("random breaklines, crossing and meeting at any angle, are held or reported", "[ground]")
{
    std::mt19937 random(12);
    std::uniform_real_distribution<double> meters(5, 95);
    int held = 0;
    for (unsigned seed = 1; seed <= 60; ++seed) {
        const auto spots = random_spots(60, seed);
        const auto level = [](double x, double y) { return Point3{.x_m = x, .y_m = y, .elev_m = plane({x, y})}; };
        Breaklines lines;
        for (int k = 0; k < 3; ++k) {
            std::vector<Point3> line;
            for (int i = 0; i < 3; ++i) {
                const double x = meters(random);
                line.push_back(level(x, meters(random)));
            }
            lines.push_back(line);
        }
        lines.push_back({lines[0][0], level(lines[0][1].x_m + 0.5, lines[0][1].y_m)}); // a sharp angle
        const auto ground = Ground::from_spots(spots, lines);
        INFO("seed " << seed);
        // All lie on one plane, so crossings agree; what is left to report is a breakline that does not hold.
        CHECK(holds(ground, lines) == ground.findings().empty());
        held += ground.findings().empty();
        CHECK(ground.points().size() < 20000);
        for (const auto& line : lines) {
            const Point middle{.x_m = (line[0].x_m + line[1].x_m) / 2, .y_m = (line[0].y_m + line[1].y_m) / 2};
            CHECK(ground.elev_m(middle).value() == Approx(plane(middle)).margin(1e-9));
        }
    }
    CHECK(held >= 57); // the rest come within millimeters of each other at one place
}

TEST_CASE("a closed wall line on a grid of spots is held", "[ground]")
{
    // Right angles put spots exactly on the circles of pieces.
    std::vector<Point3> grid;
    for (int i = 0; i <= 8; ++i) {
        for (int j = 0; j <= 8; ++j) {
            grid.push_back({.x_m = 2.0 * i, .y_m = 2.0 * j, .elev_m = 100});
        }
    }
    const Breaklines wall{{{3, 3, 101}, {11, 3, 101}, {11, 9, 101}, {3, 9, 101}, {3, 3, 101}}};
    const auto ground = Ground::from_spots(grid, wall);
    CHECK(ground.findings().empty());
    CHECK(holds(ground, wall));
}

TEST_CASE("a spot on a breakline splits it and keeps its own elevation", "[ground]")
{
    const std::vector<Point3> spots{{0, 0, 10}, {20, 0, 10}, {20, 20, 10}, {0, 20, 10}, {10, 10.0004, 11}};
    const Breaklines line{{{2, 10, 10}, {18, 10, 10}}};
    const auto ground = Ground::from_spots(spots, line);
    CHECK(ground.elev_m({10, 10.0004}).value() == Approx(11).margin(1e-9));
    CHECK(ground.elev_m({6, 10.0002}).value() == Approx(10.5).margin(1e-3)); // straight from the end to the spot
    REQUIRE(ground.findings().size() == 1);
    CHECK(ground.findings()[0].severity == Severity::warning);
    CHECK(ground.findings()[0].at == Point{10, 10.0004});
    // 10 m and 11 m in feet of 0.3048 m: the ground does not know which of the two a job prints.
    CHECK(ground.findings()[0].text.find("32.81 ft (10.000 m)") != std::string::npos);
    CHECK(ground.findings()[0].text.find("36.09 ft (11.000 m)") != std::string::npos);
    // With the line's own elevation there is nothing to report.
    auto agreeing = spots;
    agreeing[4].elev_m = 10.001;
    CHECK(Ground::from_spots(agreeing, line).findings().empty());
}

TEST_CASE("breaklines that cross at different elevations are reported with the place", "[ground]")
{
    const std::vector<Point3> spots{{0, 0, 10}, {20, 0, 10}, {20, 20, 10}, {0, 20, 10}};
    const Breaklines lines{{{2, 10, 10}, {18, 10, 10}}, {{10, 2, 10.4}, {10, 18, 10.4}}};
    const auto ground = Ground::from_spots(spots, lines);
    CHECK(holds(ground, lines));
    CHECK(ground.elev_m({10, 10}).value() == Approx(10.2).margin(1e-9));
    REQUIRE(ground.findings().size() == 1);
    CHECK(distance_m(ground.findings()[0].at.value(), {10, 10}) < 1e-9);
    CHECK(ground.findings()[0].text.find("10.400 m") != std::string::npos);
}

TEST_CASE("two breaklines closer than the least piece are reported where they do not hold", "[ground]")
{
    const std::vector<Point3> spots{{0, 0, 10}, {20, 0, 10}, {20, 20, 10}, {0, 20, 10}};
    const Breaklines lines{{{2, 10, 10}, {18, 10, 10}}, {{2, 10.002, 10.15}, {17.993, 10.002, 10.15}}};
    const auto ground = Ground::from_spots(spots, lines);
    const bool all_held = holds(ground, lines);
    CHECK(all_held == ground.findings().empty());
    CHECK(ground.points().size() < 10000);
}

TEST_CASE("a place shot twice is reported, with both elevations when they differ", "[ground]")
{
    const std::vector<Point3> corners{{0, 0, 10}, {20, 0, 10}, {20, 20, 10}, {0, 20, 10}};
    auto repeated = corners;
    repeated.push_back({20, 20, 10.001});
    const auto once = plain(repeated);
    CHECK(once.points().size() == 4);
    REQUIRE(once.findings().size() == 1);
    CHECK(once.findings()[0].severity == Severity::note);
    repeated.back().elev_m = 10.3;
    const auto conflict = plain(repeated);
    REQUIRE(conflict.findings().size() == 2);
    CHECK(conflict.findings()[0].severity == Severity::warning);
    CHECK(conflict.findings()[0].at == Point{20, 20});
    CHECK(conflict.findings()[0].text.find("10.300 m") != std::string::npos);
    CHECK(conflict.elev_m({20, 20}).value() == Approx(10).margin(1e-12)); // the first one, as the finding says
}

TEST_CASE("ground that cannot be built is refused", "[ground]")
{
    CHECK_THROWS_AS(plain({}), Error);
    CHECK_THROWS_AS(plain({{0, 0, 1}, {1, 0, 1}}), Error);
    CHECK_THROWS_AS(plain({{0, 0, 1}, {1, 0, 1}, {1, 0, 1}}), Error);
    CHECK_THROWS_AS(plain({{0, 0, 1}, {1, 1, 1}, {2, 2, 1}, {5, 5, 7}}), Error);
    CHECK_THROWS_AS(plain({{0, 0, 1}, {1, 0, nan_m}, {0, 1, 1}}), Error);
    CHECK_THROWS_AS(plain({{0, 0, 1}, {endless, 0, 1}, {0, 1, 1}}), Error);
    const std::vector<Point3> fine{{0, 0, 1}, {9, 0, 1}, {0, 9, 1}};
    CHECK_THROWS_AS(Ground::from_spots(fine, Breaklines{{{1, 1, nan_m}, {2, 2, 1}}}), Error);
    auto raster = cell_of_four();
    raster.step_row = {2, 0};
    CHECK_THROWS_AS(Ground::from_raster(raster), Error);
    raster = cell_of_four();
    raster.step_col = {nan_m, 0};
    CHECK_THROWS_AS(Ground::from_raster(raster), Error);
    raster = cell_of_four();
    raster.elev_m.pop_back();
    CHECK_THROWS_AS(Ground::from_raster(raster), Error);
    raster = cell_of_four();
    raster.elev_m[2] = endless;
    CHECK_THROWS_AS(Ground::from_raster(raster), Error);
    CHECK_THROWS_AS(Ground::from_raster(
                        {.cols = 1, .rows = 2, .origin = {}, .step_col = {1, 0}, .step_row = {0, 1}, .elev_m = {1, 2}}),
                    Error);
}

TEST_CASE("a raster has no ground beside missing cells", "[ground]")
{
    auto raster = plane_raster(6, 5, {0, 0}, {10, 0}, {0, 10});
    raster.elev_m[2 * 6 + 3] = nan_m; // center (30, 20)
    const auto ground = Ground::from_raster(raster);
    CHECK_FALSE(ground.elev_m({30, 20}));
    CHECK_FALSE(ground.elev_m({21, 19}));
    CHECK_FALSE(ground.elev_m({39.9, 29.9}));
    CHECK(ground.elev_m({19.9, 20}).value() == Approx(plane({19.9, 20})).margin(1e-9));
    CHECK(ground.elev_m({50, 40}).value() == Approx(plane({50, 40})).margin(1e-9)); // the last center
    CHECK_FALSE(ground.elev_m({50.001, 40}));
    CHECK_FALSE(ground.along({{5, 20}, {45, 20}}, 1)); // through the gap
    CHECK(ground.along({{5, 5}, {45, 5}}, 1));
    CHECK(ground.outside_by_m({30, 20}) == Approx(10).epsilon(1e-12)); // to a center line round the gap
    CHECK(ground.outside_by_m({53, 44}) == Approx(5).epsilon(1e-12));
    CHECK(ground.triangles().empty());
    CHECK_FALSE(ground.leave_one_out_rms_m());
}

namespace {

/// The place of a square of 40 by 30 that is nearest to p.
Point onto_rectangle(const Point& p)
{
    return {.x_m = std::clamp(p.x_m, 0.0, 40.0), .y_m = std::clamp(p.y_m, 0.0, 30.0)};
}

} // namespace

TEST_CASE("in the reach of its edge the ground is as high as the nearest place of the edge", "[ground]")
{
    const std::vector<Point3> corners{on_plane(0, 0), on_plane(40, 0), on_plane(40, 30), on_plane(0, 30)};
    const auto ground = Ground::from_spots(corners, {}, 0.3);
    CHECK(ground.elev_m({-0.2, 10}).value() == Approx(100 - 0.015 * 10).margin(1e-9));     // plane at (0, 10)
    CHECK(ground.elev_m({40.18, 30.24}).value() == Approx(100 + 0.8 - 0.45).margin(1e-9)); // 3-4-5 from (40, 30)
    CHECK(ground.elev_m({20, 10}).value() == Approx(plane({20, 10})).margin(1e-9));
    CHECK_FALSE(ground.elev_m({-0.3001, 10}));
    CHECK_FALSE(ground.elev_m({40.19, 30.25})); // 0.314 m from the corner
    CHECK(ground.outside_by_m({40.18, 30.24}) == Approx(0.3).epsilon(1e-9));
    CHECK(ground.points().size() == 4);
    CHECK(ground.triangles().size() == 2);

    const Polyline line{{-0.25, 12}, {20, -0.2}, {40.2, 30.2}, {39, 30.29}};
    const auto along = ground.along(line, 0.5).value();
    for (double s = 0; s < length_m(line); s += 0.01) { // straight between its points, so exact everywhere
        CHECK(std::abs(elev_along_m(along, s) - plane(onto_rectangle(point_at(line, s)))) < 1e-7);
    }
    CHECK_FALSE(ground.along({{20, 10}, {20, -0.31}}, endless));
}

TEST_CASE("the reach of the edge leaves the ground inside as it is", "[ground]")
{
    const auto spots = random_spots(60, 7);
    const auto without = plain(spots);
    const auto with = Ground::from_spots(spots, {}, 0.3);
    std::mt19937 random(3);
    std::uniform_real_distribution<double> place(0, 100);
    for (int i = 0; i < 2000; ++i) {
        const Point p{.x_m = place(random), .y_m = place(random)};
        CHECK(with.elev_m(p).value() == Approx(without.elev_m(p).value()).margin(1e-12));
    }
    CHECK(with.leave_one_out_rms_m() == without.leave_one_out_rms_m());
}

TEST_CASE("a raster has ground in the reach of its edge, and none beside missing cells", "[ground]")
{
    auto raster = plane_raster(6, 5, {0, 0}, {10, 0}, {0, 10}); // centers to (50, 40)
    raster.elev_m[2 * 6 + 3] = nan_m;                           // center (30, 20)
    const auto ground = Ground::from_raster(raster, 0.3);
    CHECK(ground.elev_m({50.3, 15}).value() == Approx(plane({50, 15})).margin(1e-9));
    CHECK(ground.elev_m({-0.2, 40.2}).value() == Approx(plane({0, 40})).margin(1e-9));
    CHECK_FALSE(ground.elev_m({50.31, 15}));
    CHECK_FALSE(ground.elev_m({20.1, 20}));
    CHECK(ground.along({{45, 5}, {50.25, 5}}, 1));
    CHECK(ground.outside_by_m({50.3, 15}) == Approx(0.3).epsilon(1e-12));
}

TEST_CASE("a profile over a raster breaks at the lines of cell centers and at the step", "[ground]")
{
    const auto ground = Ground::from_raster(cell_of_four());
    const auto profile = ground.along({{0, 0}, {1, 1}}, 0.1).value();
    CHECK(profile.size() >= 15);
    for (const auto& g : profile) {
        const double u = g.station_m / std::sqrt(2);
        // Along the diagonal u = v: 10 (1-u)^2 + (12 + 11) u (1-u) + 17 u^2.
        CHECK(g.elev_m == Approx(10 * (1 - u) * (1 - u) + 23 * u * (1 - u) + 17 * u * u).margin(1e-9));
    }
    const auto wide = Ground::from_raster(plane_raster(6, 5, {0, 0}, {10, 0}, {0, 10}));
    CHECK(wide.along({{5, 5}, {45, 5}}, endless).value().size() == 6); // 5, 10, 20, 30, 40, 45
}

TEST_CASE("leaving one spot out is the ground built without it", "[ground]")
{
    for (unsigned seed = 1; seed <= 5; ++seed) {
        const auto spots = random_spots(60, seed);
        double squares = 0, count = 0;
        for (std::size_t i = 0; i < spots.size(); ++i) {
            auto others = spots;
            others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
            if (const auto without = plain(others).elev_m(flat(spots[i]))) {
                squares += (*without - spots[i].elev_m) * (*without - spots[i].elev_m);
                ++count;
            }
        }
        CHECK(plain(spots).leave_one_out_rms_m().value() == Approx(std::sqrt(squares / count)).epsilon(1e-9));
    }
    CHECK_FALSE(plain({{0, 0, 1}, {9, 0, 2}, {0, 9, 3}}).leave_one_out_rms_m());
    CHECK(plain({on_plane(0, 0), on_plane(9, 0), on_plane(0, 9), on_plane(9, 9), on_plane(4, 3)})
              .leave_one_out_rms_m()
              .value() == Approx(0).margin(1e-9));
}

TEST_CASE("one ground may be read from several threads", "[ground]")
{
    const auto ground = plain(random_spots(300, 3));
    const auto read = [&ground](double& sum) {
        for (int i = 0; i < 20000; ++i) {
            sum += ground.elev_m({.x_m = 1 + (i * 37 % 980) / 10.0, .y_m = 1 + (i * 91 % 970) / 10.0}).value();
        }
    };
    double one = 0, other = 0;
    std::thread beside(read, std::ref(one));
    read(other);
    beside.join();
    CHECK(one == other);
}
