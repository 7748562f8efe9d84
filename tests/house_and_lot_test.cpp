#include "draw_yard.hpp"
#include "trenchwright/dig/setbacks.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/obstacles.hpp"

#include <catch2/catch.hpp>
#include <numbers>
#include <random>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// Drawn evenly, the same on every machine.
double between(std::mt19937& random, double from, double to)
{
    return from + (to - from) * static_cast<double>(random()) / 4294967296.0;
}

/// A rectangle from the origin, turned about it; the tests ask it in its own axes, where insides and distances are
/// plain arithmetic.
struct House {
    double width_m = 10;
    double depth_m = 8;
    double angle_rad = 0;

    [[nodiscard]] Point at(double along_m, double across_m) const
    {
        const double c = std::cos(angle_rad);
        const double s = std::sin(angle_rad);
        return {.x_m = along_m * c - across_m * s, .y_m = along_m * s + across_m * c};
    }
    [[nodiscard]] Polygon outline() const
    {
        return {.outer = {at(0, 0), at(width_m, 0), at(width_m, depth_m), at(0, depth_m)}, .holes = {}};
    }
    /// Below 0 inside.
    [[nodiscard]] double away_m(const Point& p) const
    {
        const double c = std::cos(angle_rad);
        const double s = std::sin(angle_rad);
        const double along = p.x_m * c + p.y_m * s;
        const double across = p.y_m * c - p.x_m * s;
        const double beside = std::max(-along, along - width_m);
        const double before = std::max(-across, across - depth_m);
        return beside > 0 && before > 0 ? std::hypot(beside, before) : std::max(beside, before);
    }
};

DrawnYard yard_with(const House& house, const Point& source, const Polygon& outlet)
{
    Site site;
    site.foundations = {house.outline()};
    site.parcel = {square_m(-20, -20, 60)};
    site.sources.push_back({});
    site.sources[0].id = "S";
    site.sources[0].at = source;
    site.outlets.push_back({});
    site.outlets[0].id = site.outlets[0].name = "O";
    site.outlets[0].place = outlet;
    site.outlets[0].lowest_invert_elev_m = 90;
    Ground ground = shot_ground(60, 60, [](const Point& p) { return 100 - 0.04 * p.x_m - 0.03 * p.y_m; });
    for (auto* areas : {&site.foundations, &site.parcel}) { // the shots start at the origin
        for (auto& p : areas->front().outer) {
            p = {.x_m = p.x_m + 20, .y_m = p.y_m + 20};
        }
    }
    auto& at = site.sources[0].at;
    at = {.x_m = at.x_m + 20, .y_m = at.y_m + 20};
    for (auto& p : std::get<Polygon>(site.outlets[0].place).outer) {
        p = {.x_m = p.x_m + 20, .y_m = p.y_m + 20};
    }
    DrawnYard yard{.site = std::move(site), .ground = std::move(ground), .rules = default_rules().route};
    yard.rules.deepest_cut_m = 6;
    return yard;
}

/// Where the pipe of a route lies in the house other than on its way out of the wall, by points 2 mm apart.
int points_in_wall(const Route& route, const House& house, const RouteRules& rules)
{
    const double half_pipe = rules.section.outside_diameter_m / 2;
    const double length = length_m(route.line);
    bool out = false;
    int wrong = 0;
    for (double from_source = 0; from_source <= length; from_source += 0.002) {
        const Point p = point_at(route.line, length - from_source);
        const double away = house.away_m({.x_m = p.x_m - 20, .y_m = p.y_m - 20});
        out = out || away >= half_pipe - 1e-5;
        const bool in_wall = away < (out ? half_pipe - 1e-5 : 0);
        wrong += in_wall && (out || from_source > rules.boundary_snap_m + 1e-5) ? 1 : 0;
    }
    return wrong;
}

} // namespace

TEST_CASE("neither axis nor pipe lies in the house beyond the way out of the wall, whatever the yard", "[walls]")
{
    int found = 0;
    for (unsigned seed = 0; seed < 60; ++seed) {
        std::mt19937 random(seed);
        const House house{.angle_rad = between(random, 0, std::numbers::pi / 2)};
        // Near a corner, from 1 in inside the wall to 5 in before it.
        const Point source =
            house.at(house.width_m - between(random, 0.1, 0.8), house.depth_m + between(random, -0.025, 0.13));
        const Point outlet = house.at(house.width_m + between(random, 2, 6), between(random, 0, 6));
        const auto yard = yard_with(house, source, square_m(outlet.x_m, outlet.y_m, 1.5));
        const auto outcome = routed(yard);
        const auto* route = std::get_if<Route>(&outcome);
        if (route == nullptr) {
            continue;
        }
        ++found;
        INFO("seed " << seed);
        CHECK(points_in_wall(*route, house, yard.rules) == 0);
        const auto faults =
            route_faults(yard.site, yard.ground, yard.site.sources[0], yard.site.outlets[0], *route, yard.rules);
        CHECK((faults.empty() ? "" : faults[0].text) == std::string());
    }
    CHECK(found >= 50);
}

TEST_CASE("a run that cuts the corner of a house by a hair is a fault, the way out of the wall is none", "[walls]")
{
    Site site;
    site.foundations = {{.outer = {{0, 0}, {10, 0}, {10, 8}, {0, 8}}, .holes = {}}};
    const RouteRules rules = default_rules().route;
    const auto all = obstacles(site, rules);
    const Point source{.x_m = 9.6, .y_m = 8.1};
    const double half_pipe = rules.section.outside_diameter_m / 2;
    const auto fault = [&](const Point& from, const Point& to, const Point& start) {
        return obstacle_fault({.upper = from, .lower = to}, start, all, rules).has_value();
    };
    CHECK(fault({9.6, 8.03}, {10.1, 7.95}, {9.6, 8.03}));     // through the corner, from before the wall
    CHECK(fault(source, {9.99, 7.99}, source));               // 1 cm inside, by one run
    CHECK(fault({9.99, 7.99}, {12, 6}, source));              // and by the next one
    CHECK(fault({9, 8 + half_pipe / 2}, {11, 8.04}, source)); // its side only
    CHECK_FALSE(fault({9, 8 + 1.01 * half_pipe}, {11, 8.06}, source));
    CHECK_FALSE(fault({9.6, 8}, {9.6, 9}, {9.6, 8}));       // from the wall
    CHECK_FALSE(fault({9.6, 7.96}, {9.7, 9}, {9.6, 7.96})); // from 4 cm inside it
    CHECK(fault({9.6, 7.96}, {9.9, 8.08}, {9.6, 7.96}));    // 10 cm through it
    CHECK(fault({9.6, 8.01}, {7.6, 8.011}, {9.6, 8.01}));   // beside it, half in the wall
    CHECK(fault({9.6, 7.9}, {9.6, 9}, {9.6, 7.9}));         // the source itself too deep
    // Out of the wall, and back into it round the corner.
    CHECK_FALSE(fault({8.5, 8}, {9.9, 8.4}, {8.5, 8}));
    CHECK(fault({8.5, 8}, {10.2, 8.1}, {8.5, 8})); // so slanting that the pipe lies in the wall for 70 cm
    site.foundations[0].outer = {{0, 0}, {10, 0}, {10, 8}, {9.4, 8}, {9.4, 8.2}, {9.2, 8.2}, {9.2, 8}, {0, 8}};
    CHECK(obstacle_fault({.upper = {8.5, 8}, .lower = {9.9, 8.4}}, {8.5, 8}, obstacles(site, rules), rules));
}

TEST_CASE("at a party wall the neighbor's clearance is waived near the source, and no pipe lies in either building",
          "[walls]")
{
    Site site;
    site.foundations = {{.outer = {{0, 0}, {10, 0}, {10, 8}, {0, 8}}, .holes = {}}};
    site.neighbor_buildings = {{.outer = {{10, 0}, {20, 0}, {20, 8}, {10, 8}}, .holes = {}}};
    RouteRules rules = default_rules().route;
    const double half_pipe = rules.section.outside_diameter_m / 2;
    const Point source{.x_m = 9.7, .y_m = 8.1};
    const auto fault = [&](const Point& from, const Point& to) {
        return obstacle_fault({.upper = from, .lower = to}, source, obstacles(site, rules), rules).has_value();
    };
    CHECK_FALSE(fault(source, {9.7, 9.5}));                                  // 0.3 m beside it, straight out
    CHECK_FALSE(fault({9.7, 9.5}, {11, 9.5}));                               // past its front, 1.5 m off
    CHECK_FALSE(fault({9.7, 8 + 2 * half_pipe}, {10.9, 8 + 2 * half_pipe})); // along its front, within 5 ft
    CHECK(fault({9.7, 8 + half_pipe / 2}, {10.9, 8 + half_pipe / 2}));       // a part of the pipe in it
    CHECK(fault(source, {10.5, 7.9}));                                       // the axis in it
    CHECK(fault({9.7, 8.3}, {13, 8.3}));                                     // farther along than 5 ft
    for (auto& p : site.neighbor_buildings[0].outer) {
        p.x_m += 1.01 * rules.boundary_snap_m; // a gap between the two: no party wall
    }
    CHECK(fault(source, {9.7, 9.5}));
}

TEST_CASE("in a row of houses a downspout beside the party wall is served, and no pipe lies in the neighbor's",
          "[walls]")
{
    int found = 0;
    int near = 0;
    for (unsigned seed = 0; seed < 40; ++seed) {
        std::mt19937 random(seed);
        const House house{.angle_rad = between(random, 0, std::numbers::pi / 2)};
        const double beside_m = between(random, 0.35, 0.9); // of the party wall, along the front
        const Point source = house.at(house.width_m - beside_m, house.depth_m + between(random, 0, 0.1));
        const Point outlet = house.at(between(random, 2, 8), house.depth_m + between(random, 4, 7));
        auto yard = yard_with(house, source, square_m(outlet.x_m, outlet.y_m, 1));
        Polygon next;
        for (const auto& [along, across] : {std::pair{0.0, 0.0}, {6.0, 0.0}, {6.0, 8.0}, {0.0, 8.0}}) {
            const auto p = house.at(house.width_m + along, across);
            next.outer.push_back({.x_m = p.x_m + 20, .y_m = p.y_m + 20});
        }
        yard.site.neighbor_buildings = {next};
        const auto outcome = routed(yard);
        const auto* route = std::get_if<Route>(&outcome);
        if (route == nullptr) {
            continue;
        }
        ++found;
        INFO("seed " << seed);
        const double half_pipe = yard.rules.section.outside_diameter_m / 2;
        const double clearance = yard.rules.foundation_clearance_m + yard.rules.section.width_m / 2;
        const double length = length_m(route->line);
        for (double from_source = 0; from_source <= length; from_source += 0.01) {
            const Point p = point_at(route->line, length - from_source);
            const Point own{.x_m = p.x_m - 20, .y_m = p.y_m - 20};
            const double c = std::cos(house.angle_rad);
            const double s = std::sin(house.angle_rad);
            const double along = own.x_m * c + own.y_m * s - house.width_m; // in the axes of the row
            const double across = own.y_m * c - own.x_m * s;
            const double away = std::hypot(std::max({-along, along - 6, 0.0}), std::max({-across, across - 8, 0.0}));
            CHECK(away >= half_pipe - 1e-5);
            const bool waived = distance_m(p, route->line.back()) <= yard.rules.wall_exit_length_m + 1e-6;
            CHECK((waived || away >= clearance - 1e-5));
            near += away < clearance ? 1 : 0;
        }
        CHECK(points_in_wall(*route, house, yard.rules) == 0);
    }
    CHECK(found >= 30);
    CHECK(near > 0); // without the waiver none of these is served
}

namespace {

/// A lot 20 m wide that ends at x = 20; a house stands 0.9 to 2 m from that side.
DrawnYard side_yard(std::mt19937& random, bool hard)
{
    Site site;
    const double wall = 20 - between(random, 0.9, 2.0);
    site.parcel = {{.outer = {{0, 0}, {20, 0}, {20, 30}, {0, 30}}, .holes = {}}};
    site.foundations = {{.outer = {{wall - 9, 10}, {wall, 10}, {wall, 20}, {wall - 9, 20}}, .holes = {}}};
    site.sources.push_back({});
    site.sources[0].id = "S";
    site.sources[0].at = {.x_m = wall + between(random, 0, 0.1), .y_m = between(random, 10.3, 13)};
    site.outlets.push_back({});
    site.outlets[0].id = site.outlets[0].name = "O";
    site.outlets[0].place = Point{.x_m = 20 - between(random, 0.06, 1.6), .y_m = between(random, 5, 9)};
    site.outlets[0].lowest_invert_elev_m = 90;
    DrawnYard yard{.site = std::move(site),
                   .ground = shot_ground(20, 30, [](const Point& p) { return 100 + 0.04 * p.y_m; }),
                   .rules = default_rules().route};
    yard.rules.deepest_cut_m = 6;
    yard.rules.setbacks.lot_line = {.distance_m = 0.3, .hard = hard};
    return yard;
}

/// Least distance of the trench's edge to the side x = 20, by points 1 cm apart along both edges and the outer corners
/// of bends, where the edges' lines meet.
double edge_to_side_m(const Polyline& line, double width_m)
{
    const double half = width_m / 2;
    double east = -1e9;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double heading = direction_rad(line[i - 1], line[i]);
        for (double s = 0; s < distance_m(line[i - 1], line[i]); s += 0.01) {
            east = std::max(east, line[i - 1].x_m + s * std::cos(heading) + half * std::abs(std::sin(heading)));
        }
        east = std::max(east, line[i].x_m + half * std::abs(std::sin(heading)));
        if (i + 1 < line.size()) { // intersection of the two offset lines, both sides
            const double next = direction_rad(line[i], line[i + 1]);
            for (const double side : {-half, half}) {
                const double t = side * std::tan(std::remainder(next - heading, 2 * std::numbers::pi) / 2);
                east = std::max(east, line[i].x_m - side * std::sin(heading) - t * std::cos(heading));
            }
        }
    }
    return 20 - east;
}

} // namespace

TEST_CASE("the trench stays on the lot, and a hard setback holds at source and outlet too", "[walls]")
{
    for (const bool hard : {false, true}) {
        int found = 0;
        int refused_by_figures = 0;
        for (unsigned seed = 0; seed < 60; ++seed) {
            std::mt19937 random(seed);
            const auto yard = side_yard(random, hard);
            const auto outcome = routed(yard);
            INFO("seed " << seed << (hard ? ", hard" : ""));
            const auto* route = std::get_if<Route>(&outcome);
            if (route == nullptr) {
                const auto& refusal = std::get<Refusal>(outcome);
                refused_by_figures += refusal.text.find("from the lot line") != std::string::npos ? 1 : 0;
                CHECK(refusal.short_by_m.value_or(1) > 0);
                continue;
            }
            ++found;
            const double kept = edge_to_side_m(route->line, yard.rules.section.width_m);
            CHECK(kept >= (hard ? 0.3 : 0) - 1e-5);
            const auto checks = setback_checks(yard.site, route->line, yard.rules);
            const auto row = std::ranges::find(checks, "lot line", &SetbackCheck::kind);
            REQUIRE(row != checks.end());
            CHECK(row->nearest_m == Approx(kept).margin(1e-5)); // no other side is as near
            CHECK(row->too_near.empty() == (kept >= 0.3 - 1e-5));
        }
        CHECK(found >= (hard ? 10 : 40));
        CHECK(refused_by_figures >= (hard ? 5 : 0));
    }
}

TEST_CASE("an outlet drawn on the lot line is met square, or not at all", "[walls]")
{
    const double half = default_rules().route.section.width_m / 2;
    Site site;
    site.parcel = {square_m(0, 0, 20)};
    RouteRules rules = default_rules().route;
    const auto meets = [&](double from_x, double end_y) {
        return !obstacle_fault({.upper = {from_x, 15}, .lower = {10, end_y}, .to_end = true}, {from_x, 14},
                               obstacles(site, rules), rules);
    };
    CHECK(meets(10, 20));
    CHECK(meets(11, 20));        // 11 degrees off: a corner of the end reaches half x sin 11 deg = 3 cm over
    CHECK_FALSE(meets(15, 20));  // 45 degrees: 11 cm
    CHECK(meets(15, 20 - half)); // here the corner just stays inside
    rules.setbacks.lot_line.hard = true;
    CHECK_FALSE(meets(10, 20));
    CHECK_FALSE(meets(10, 20 - rules.setbacks.lot_line.distance_m + 0.001));
    CHECK(meets(10, 20 - rules.setbacks.lot_line.distance_m - 0.001));
}

TEST_CASE("a hard lot line holds along neighbors where other ground may be entered", "[walls]")
{
    Site site;
    site.parcel = {square_m(0, 0, 20)};
    site.neighbors = {square_m(20, 0, 20)};
    RouteRules rules = default_rules().route;
    rules.outside_lot = OutsideLot::not_neighbors;
    rules.setbacks.lot_line = {.distance_m = 1, .hard = true};
    const double axis = 1 + rules.section.width_m / 2;
    const auto fault = [&](double x) {
        return obstacle_fault({.upper = {x, 5}, .lower = {x, 15}}, {50, 50}, obstacles(site, rules), rules).has_value();
    };
    CHECK(fault(20 - axis + 0.01));
    CHECK_FALSE(fault(20 - axis - 0.01));
    CHECK_FALSE(fault(0.01)); // nobody's lot beyond this side
    rules.setbacks.lot_line.hard = false;
    CHECK_FALSE(fault(20 - axis + 0.01));
}
