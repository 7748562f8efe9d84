#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/along_marks.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

using namespace trenchwright;

namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double min_rad = 20 * degree;
constexpr MarkReach gas{.strip_m = 0.08, .reach_m = 0.965};

/// A straight mark along the x axis.
const Polyline mark{{-100, 0}, {100, 0}};

double along_m(const Polyline& line)
{
    return total_m(stretches_along(line, mark, gas, min_rad));
}

Polyline straight_across(double angle_rad)
{
    const double reach = 8;
    return {{-reach * std::cos(angle_rad), -reach * std::sin(angle_rad)},
            {reach * std::cos(angle_rad), reach * std::sin(angle_rad)}};
}

double between(std::mt19937& random, double from, double to)
{
    return from + (to - from) * static_cast<double>(random()) / 4294967296.0;
}

/// Length of the line's axis within the reach of the mark, by points a millimeter apart.
double near_by_points_m(const Polyline& line, double reach_m)
{
    double near = 0;
    for (double s = 0.0005; s < length_m(line); s += 0.001) {
        near += std::abs(point_at(line, s).y_m) <= reach_m ? 0.001 : 0;
    }
    return near;
}

} // namespace

TEST_CASE("a straight crossing runs along the mark only where it is flatter than the least angle", "[along]")
{
    for (const double degrees : {90.0, 60.0, 45.0, 30.0, 20.5}) {
        CHECK(along_m(straight_across(degrees * degree)) == 0);
    }
    // 19 degrees: near for 2 reach / sin + strip / tan, all of it.
    const double a = 19 * degree;
    CHECK(along_m(straight_across(a)) ==
          Approx(2 * gas.reach_m / std::sin(a) + gas.strip_m / std::tan(a)).epsilon(1e-9));
}

TEST_CASE("a zigzag beside a mark runs along it, whatever its headings", "[along]")
{
    int zigzags = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
        std::mt19937 random(seed);
        // From far off into the zone, to and fro across the mark, and out again.
        Polyline line{{-3, -4}, {0, -0.5}};
        const int legs = 2 + static_cast<int>(random() % 12);
        for (int i = 0; i < legs; ++i) {
            const double y = between(random, 0.05, 0.8) * (i % 2 == 0 ? 1 : -1);
            line.push_back({.x_m = line.back().x_m + between(random, 0.05, 1.5), .y_m = y});
        }
        line.push_back({.x_m = line.back().x_m + 2, .y_m = between(random, 2, 4) * (random() % 2 == 0 ? 1 : -1)});
        INFO("seed " << seed);
        // The strip about a slanting run reaches up to half its width nearer to the mark than its axis.
        CHECK(along_m(line) >= near_by_points_m(line, gas.reach_m) - 0.01);
        CHECK(along_m(line) <= near_by_points_m(line, gas.reach_m + gas.strip_m) + 0.01);
        ++zigzags;
    }
    CHECK(zigzags == 200);
}

TEST_CASE("a line that turns back, ends beside a mark or lingers on its way across runs along it", "[along]")
{
    CHECK(along_m({{0, -4}, {0, -0.4}, {4, -4}}) > 1);           // there and back
    CHECK(along_m({{0, -4}, {0, -0.4}}) == Approx(0.965 - 0.4)); // ends beside it
    CHECK(along_m({{0, -4}, {0, -1.1}, {5, -1.1}, {5, -4}}) == 0);
    // To and fro at 45 degrees on one side, then across: 1.8 m of legs more than a crossing at 45 degrees needs.
    CHECK(along_m({{-3, -4}, {0, -0.9}, {0.6, -0.3}, {1.2, -0.9}, {1.8, -0.3}, {5, 2.9}}) > 3);
    // A bend on the way across, no leg flatter than 45 degrees, is a crossing like another.
    CHECK(along_m({{0, -4}, {0, -0.5}, {3, 2.5}}) == 0);
    // Two crossings of one mark within its side gap are no way past it.
    CHECK(along_m({{0, -4}, {0, 0.5}, {0.4, 0.5}, {0.4, -4}}) > 2);
    CHECK(along_m({{0, -4}, {0, 4}, {3, 4}, {3, -4}}) == 0); // two genuine ones
}
