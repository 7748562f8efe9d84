#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/tape_ties.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>
#include <random>

using namespace trenchwright;

namespace {

// The rule of trade practice (from memory): 45 deg, one tape of 100 ft. Corners from 30 deg on.
const TieRules practice{
    .min_angle_rad = std::numbers::pi / 4, .tape_length_m = 30.48, .corner_turn_rad = std::numbers::pi / 6};

/// An L: 14 m by 10 m less a corner of 6 m by 4 m; the notch is at the upper right.
Polygon l_house(double turn_rad = 0, Point origin = {})
{
    Polygon house;
    for (const auto& [x, y] :
         std::vector<std::pair<double, double>>{{0, 0}, {14, 0}, {14, 6}, {8, 6}, {8, 10}, {0, 10}}) {
        house.outer.push_back({origin.x_m + x * std::cos(turn_rad) - y * std::sin(turn_rad),
                               origin.y_m + x * std::sin(turn_rad) + y * std::cos(turn_rad)});
    }
    return house;
}

TapeTies ties_of(const Point& place, const std::vector<Polygon>& houses, const TieRules& rules = practice)
{
    return tape_ties(place, tape_corners(houses, rules), houses, rules);
}

std::map<std::string, Point> by_name(const std::vector<Polygon>& houses)
{
    std::map<std::string, Point> places;
    for (const auto& corner : tape_corners(houses, practice)) {
        places[corner.name] = corner.at;
    }
    return places;
}

/// Where two circles meet: textbook intersection, written apart from the library.
std::vector<Point> circles_meet(const Point& a, double r, const Point& b, double s)
{
    const double d = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
    const double along = (d * d + r * r - s * s) / (2 * d);
    const double off = std::sqrt(std::max(0.0, r * r - along * along));
    const double ux = (b.x_m - a.x_m) / d;
    const double uy = (b.y_m - a.y_m) / d;
    return {{a.x_m + along * ux - off * uy, a.y_m + along * uy + off * ux},
            {a.x_m + along * ux + off * uy, a.y_m + along * uy - off * ux}};
}

/// Even-odd rule with a slack, by stepping along the tape: written apart from the library.
bool goes_through(const Ring& house, const Point& a, const Point& b)
{
    for (int i = 1; i < 4000; ++i) {
        const double t = i / 4000.0;
        const Point p{a.x_m + t * (b.x_m - a.x_m), a.y_m + t * (b.y_m - a.y_m)};
        bool inside = false;
        double nearest = 1e9;
        for (std::size_t k = 0; k < house.size(); ++k) {
            const Point& c = house[k];
            const Point& d = house[(k + 1) % house.size()];
            if ((c.y_m > p.y_m) != (d.y_m > p.y_m) &&
                p.x_m < (d.x_m - c.x_m) * (p.y_m - c.y_m) / (d.y_m - c.y_m) + c.x_m) {
                inside = !inside;
            }
            nearest = std::min(nearest, distance_m(p, c, d));
        }
        if (inside && nearest > 0.005) {
            return true;
        }
    }
    return false;
}

double angle_at(const Point& p, const Point& a, const Point& b)
{
    const double dot = (a.x_m - p.x_m) * (b.x_m - p.x_m) + (a.y_m - p.y_m) * (b.y_m - p.y_m);
    return std::acos(std::clamp(dot / (distance_m(a, p) * distance_m(b, p)), -1.0, 1.0));
}

} // namespace

TEST_CASE("corners are lettered from the south-west clockwise, whatever way the ring is written", "[ties]")
{
    const Polygon house = l_house();
    const auto corners = tape_corners({house}, practice);
    const std::vector<Point> clockwise{{0, 0}, {0, 10}, {8, 10}, {8, 6}, {14, 6}, {14, 0}};
    REQUIRE(corners.size() == 6);
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(corners[i].name == std::string(1, static_cast<char>('A' + i)));
        CHECK(corners[i].at == clockwise[i]);
    }
    for (std::size_t start = 0; start < 6; ++start) {
        Polygon other = house;
        std::rotate(other.outer.begin(), other.outer.begin() + static_cast<std::ptrdiff_t>(start), other.outer.end());
        CHECK(tape_corners({other}, practice) == corners);
        std::reverse(other.outer.begin(), other.outer.end());
        CHECK(tape_corners({other}, practice) == corners);
    }
    // A second house goes on with the next letter; a point on a straight wall and a slight bend have none.
    const Polygon shed{.outer = {{30, 0}, {32, 0}, {34, 0.1}, {34, 3}, {30, 3}}, .holes = {}};
    const auto both = tape_corners({house, shed}, practice);
    REQUIRE(both.size() == 10);
    CHECK(both[6].name == "G");
    CHECK(both[6].at == Point{30, 0});
    CHECK(both[9].at == Point{34, 0.1});
    std::vector<Polygon> street(7, house);
    CHECK(tape_corners(street, practice)[26].name == "AA");
}

TEST_CASE("a house at 45 degrees has one first corner, however rounding falls", "[ties]")
{
    for (int i = 0; i < 50; ++i) {
        const Point origin{1000.0 + i * 0.37, 2000.0 - i * 0.91};
        // The wall from (0, 0) to (0, 10) turned by 45 deg runs north-west: both ends are as far to the south-west.
        const Polygon house = l_house(std::numbers::pi / 4, origin);
        CHECK(distance_m(tape_corners({house}, practice).front().at, house.outer.back()) < 1e-6);
    }
}

TEST_CASE("ties of right triangles of whole numbers", "[ties]")
{
    // 3-4-5 and 5-12-13 above a wall from (0, 0) to (9, 0): the place is 4 m off the wall, and 12 m off another one.
    const Polygon house{.outer = {{0, 0}, {9, 0}, {9, -7}, {0, -7}}, .holes = {}};
    const auto ties = ties_of({3, 4}, {house});
    // Corners: (0, -7) A, (0, 0) B, (9, 0) C, (9, -7) D. To B 5 m, to C sqrt(36 + 16).
    REQUIRE(ties.ties.size() == 2); // A and D lie behind the house
    CHECK(ties.fault == TieFault::none);
    CHECK(ties.ties[0] == TapeTie{.corner = "B", .length_m = 5});
    CHECK(ties.ties[1].corner == "C");
    CHECK(ties.ties[1].length_m == Approx(std::sqrt(52.0)));
    // By the law of cosines: 81 = 25 + 52 - 2 x 5 x sqrt(52) x cos.
    CHECK(ties.crossing_rad == Approx(std::acos((25.0 + 52.0 - 81.0) / (10 * std::sqrt(52.0)))));
    CHECK(tie_text({.ties = {{.corner = "B", .length_m = 5 * 0.3048}, {.corner = "C", .length_m = 13 * 0.3048}},
                    .crossing_rad = 1.5,
                    .fault = TieFault::none},
                   UnitSystem::us) == "B 5'-0\", C 13'-0\"");
}

TEST_CASE("along a wall's own line the tape may touch the wall but not pass through the house", "[ties]")
{
    const Polygon house = l_house();
    // On the line of the upper right wall y = 6: the inside corner D (8, 6) is seen along the wall from E (14, 6).
    const auto ties = ties_of({20, 6}, {house}, {.min_angle_rad = 0.3, .tape_length_m = 30, .corner_turn_rad = 0.5});
    REQUIRE(ties.ties.size() == 3);
    CHECK(ties.ties[0] == TapeTie{.corner = "E", .length_m = 6});
    CHECK(ties.ties[1].corner == "F");
    CHECK(ties.ties[1].length_m == Approx(std::hypot(6, 6)));
    CHECK(ties.ties[2] == TapeTie{.corner = "D", .length_m = 12});
    // On the line through the inside corner from below: x = 8 runs through the house.
    const auto below = ties_of({8, -5}, {house});
    for (const auto& tie : below.ties) {
        CHECK((tie.corner == "A" || tie.corner == "F"));
    }
}

TEST_CASE("where no pair is good the ties say so, or there are none", "[ties]")
{
    const Polygon house = l_house();
    // 29 m in front of the middle of a wall of 14 m: the arcs cross at 2 atan(7 / 29) = 27 deg.
    const auto flat = ties_of({7, -29}, {house});
    REQUIRE(flat.ties.size() == 2);
    CHECK(flat.fault == TieFault::flat_arcs);
    CHECK(flat.crossing_rad == Approx(2 * std::atan(7.0 / 29)));
    CHECK_THAT(tie_text(flat, UnitSystem::metric), Catch::Contains("weak tie: arcs cross at 27 deg"));
    const auto far = ties_of({7, -60}, {house});
    REQUIRE(far.ties.size() == 2);
    CHECK(far.fault == TieFault::beyond_tape);
    CHECK_THAT(tie_text(far, UnitSystem::us), Catch::Contains("longer than one tape"));
    for (const auto& none : {ties_of({5, -5}, {}), ties_of({5, 5}, {house})}) { // no house; inside the house
        CHECK(none.ties.empty());
        CHECK(none.fault == TieFault::too_few_corners);
        CHECK_THAT(tie_text(none, UnitSystem::us), Catch::Contains("no tape ties"));
    }
    CHECK_THROWS_AS(ties_of({std::nan(""), 0}, {house}), Error);
    CHECK_THROWS_AS(ties_of({0, 0}, {house}, {.min_angle_rad = std::nan(""), .tape_length_m = 30}), Error);
}

TEST_CASE("ties of random places lead back to them, and no good pair is missed", "[ties]")
{
    std::mt19937 random(5417);
    std::uniform_real_distribution<double> turn(0, 2 * std::numbers::pi);
    std::uniform_real_distribution<double> off(-500, 500);
    std::uniform_real_distribution<double> near(-20, 20);
    int good = 0;
    int weak = 0;
    int checked = 0;
    for (int round = 0; round < 400; ++round) {
        const Point origin{off(random), off(random)};
        const Polygon house = l_house(turn(random), origin);
        const Point place{origin.x_m + near(random), origin.y_m + near(random)};
        const auto places = by_name({house});
        const auto ties = ties_of(place, {house});
        for (const auto& tie : ties.ties) {
            CHECK(distance_m(places.at(tie.corner), place) == Approx(tie.length_m));
            CHECK_FALSE(goes_through(house.outer, places.at(tie.corner), place));
        }
        if (ties.ties.size() >= 2) {
            const auto meet = circles_meet(places.at(ties.ties[0].corner), ties.ties[0].length_m,
                                           places.at(ties.ties[1].corner), ties.ties[1].length_m);
            CHECK(std::min(distance_m(meet[0], place), distance_m(meet[1], place)) < 1e-4);
        }
        double shortest = 1e9; // brute force over all pairs
        for (const auto& [a, at_a] : places) {
            for (const auto& [b, at_b] : places) {
                const double angle = a < b ? angle_at(place, at_a, at_b) : 0;
                const bool square = angle >= practice.min_angle_rad && angle <= std::numbers::pi - std::numbers::pi / 4;
                const bool reach = std::max(distance_m(at_a, place), distance_m(at_b, place)) <= practice.tape_length_m;
                if (square && reach && !goes_through(house.outer, at_a, place) &&
                    !goes_through(house.outer, at_b, place)) {
                    shortest = std::min(shortest, distance_m(at_a, place) + distance_m(at_b, place));
                }
            }
        }
        CHECK((ties.fault == TieFault::none) == (shortest < 1e9));
        if (ties.fault == TieFault::none) {
            ++good;
            CHECK(ties.ties[0].length_m + ties.ties[1].length_m == Approx(shortest));
            checked += ties.ties.size() == 3 ? 1 : 0;
        } else {
            ++weak;
        }
    }
    CHECK(good > 100); // so that neither half of the test is empty
    CHECK(weak > 50);
    CHECK(checked > 20);
}
