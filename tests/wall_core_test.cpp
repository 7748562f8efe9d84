#include "trenchwright/dig/wall_core.hpp"
#include "trenchwright/geom/measure.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

using namespace trenchwright;

namespace {

/// A rectangle of 12 m along its own x and 8 m along its own y, turned and moved; to the place of (x, y) in it.
struct House {
    double angle_rad = 0;
    Point origin;
    [[nodiscard]] Point at(double x, double y) const
    {
        return {origin.x_m + x * std::cos(angle_rad) - y * std::sin(angle_rad),
                origin.y_m + x * std::sin(angle_rad) + y * std::cos(angle_rad)};
    }
    [[nodiscard]] Polygon outline() const { return {.outer = {at(0, 0), at(12, 0), at(12, 8), at(0, 8)}, .holes = {}}; }
};

Source pump_at(const Point& at)
{
    Source source;
    source.kind = SourceKind::pump;
    source.water = Water::sump;
    source.at = at;
    return source;
}

} // namespace

TEST_CASE("the two corners of the wall are measured on a house turned any way", "[wall]")
{
    for (int degrees = 0; degrees < 360; degrees += 17) {
        const House house{.angle_rad = degrees * std::numbers::pi / 180, .origin = {300, -200}};
        // 3 m from the corner (0, 0) on the lower wall, 0.2 m outside. Seen from below, looking up: (0, 0) is left.
        const auto place = wall_place({house.outline()}, house.at(3, -0.2));
        REQUIRE(place.has_value());
        CHECK(place->to_left_m == Approx(3));
        CHECK(place->to_right_m == Approx(9));
        CHECK(place->off_wall_m == Approx(0.2));
        CHECK(distance_m(place->at, house.at(3, 0)) == Approx(0).margin(1e-9));
        CHECK(distance_m(place->left_corner, house.at(0, 0)) == Approx(0).margin(1e-9));
        CHECK(distance_m(place->right_corner, house.at(12, 0)) == Approx(0).margin(1e-9));
        // On the right-hand wall, seen from there: (12, 0) is left, (12, 8) right.
        const auto east = wall_place({house.outline()}, house.at(12.1, 5));
        REQUIRE(east.has_value());
        CHECK(east->to_left_m == Approx(5));
        CHECK(east->to_right_m == Approx(3));
    }
}

TEST_CASE("an outline drawn the other way round gives the same left and right", "[wall]")
{
    const House house{.angle_rad = 0.4, .origin = {5, 6}};
    auto reversed = house.outline();
    std::reverse(reversed.outer.begin(), reversed.outer.end());
    const auto place = wall_place({reversed}, house.at(3, -0.2));
    REQUIRE(place.has_value());
    CHECK(place->to_left_m == Approx(3));
    CHECK(place->to_right_m == Approx(9));
}

TEST_CASE("a point surveyed in a straight wall is no corner", "[wall]")
{
    // Between (0, 0) and (12, 0) two more points: the corners stay 12 m apart.
    const Polygon outline{.outer = {{0, 0}, {4, 0}, {6, 0}, {12, 0}, {12, 8}, {0, 8}}, .holes = {}};
    const auto place = wall_place({outline}, {5, -0.3});
    REQUIRE(place.has_value());
    CHECK(place->to_left_m == Approx(5));
    CHECK(place->to_right_m == Approx(7));
    // A jog of 1 m is one: the wall ends there.
    const Polygon jog{.outer = {{0, 0}, {4, 0}, {4, -1}, {12, -1}, {12, 8}, {0, 8}}, .holes = {}};
    const auto short_wall = wall_place({jog}, {3, -0.3});
    REQUIRE(short_wall.has_value());
    CHECK(short_wall->to_left_m == Approx(3));
    CHECK(short_wall->to_right_m == Approx(1));
}

TEST_CASE("in a yard enclosed by the house left and right are seen from the yard", "[wall]")
{
    // The yard is 4 m x 2 m. On its lower wall, looking down from inside it, the right-hand corner is the one at x = 4.
    const Polygon house{.outer = {{0, 0}, {12, 0}, {12, 8}, {0, 8}}, .holes = {{{4, 3}, {8, 3}, {8, 5}, {4, 5}}}};
    const auto place = wall_place({house}, {5, 3.2});
    REQUIRE(place.has_value());
    CHECK(place->to_right_m == Approx(1));
    CHECK(place->to_left_m == Approx(3));
}

TEST_CASE("the nearest of several foundations counts; without one there is no wall", "[wall]")
{
    const House house;
    const House garage{.angle_rad = 0, .origin = {20, 0}};
    const auto place = wall_place({house.outline(), garage.outline()}, {24, -0.1});
    REQUIRE(place.has_value());
    CHECK(place->to_left_m == Approx(4));
    CHECK_FALSE(wall_place({}, {0, 0}).has_value());
}

TEST_CASE("a pump and sump water pass the wall, a downspout and a drain outside do not", "[wall]")
{
    Source source = pump_at({0, 0});
    CHECK(passes_wall(source));
    source.kind = SourceKind::downspout;
    CHECK(passes_wall(source)); // sump water by gravity
    source.water = Water::roof;
    CHECK_FALSE(passes_wall(source));
    source.water = Water::footing;
    CHECK_FALSE(passes_wall(source));
}

TEST_CASE("heights of the core are its center's, from the floor and from the ground", "[wall]")
{
    // Pipe 60 mm outside, 4 mm wall: center 30 - 4 = 26 mm over the invert.
    const TrenchSection section{.width_m = 0.3, .outside_diameter_m = 0.06, .wall_m = 0.004, .bedding_m = 0.1};
    Site site;
    Source pump = pump_at({0, 0});
    // No stated height: straight out at the trench's invert 99.5, ground 100.1, floor 98.7.
    const auto laid = wall_core(site, pump, section, 99.5, 100.1, 98.7);
    CHECK_FALSE(laid.stated);
    CHECK(laid.center_elev_m == Approx(99.526));
    CHECK(laid.above_floor_m.value() == Approx(0.826));
    CHECK(laid.above_ground_m == Approx(-0.574));
    CHECK(laid.elbow_depth_m == Approx(0.6));
    CHECK(laid.drop_m == Approx(0).margin(1e-12));
    CHECK_FALSE(laid.place.has_value());
    // A core over the ground: invert stated at 100.4; the pipe comes down 0.9 m outside. No floor given.
    pump.highest_invert_elev_m = 100.4;
    const auto stated = wall_core(site, pump, section, 99.5, 100.1, {});
    CHECK(stated.stated);
    CHECK_FALSE(stated.above_floor_m.has_value());
    CHECK(stated.above_ground_m == Approx(0.326));
    CHECK(stated.elbow_depth_m == Approx(0.6));
    CHECK(stated.drop_m == Approx(0.9));
}
