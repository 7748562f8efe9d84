#include "draw_yard.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/ends.hpp"

#include <catch2/catch.hpp>
#include <numbers>
#include <random>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

std::function<double(Point)> sloping(double per_m_east)
{
    return [per_m_east](const Point& p) { return 20 + per_m_east * p.x_m; };
}

const char* const open_lawn = R"(
    . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . .
    . S . . . . . . . . . . . . O .
    . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . .
)";

const char* const walled = R"(
    . . . . . . X . . . . .
    . . . . . . X . . . . .
    . S . . . . X . . . O .
    . . . . . . X . . . . .
    . . . . . . . . . . . .
    . . . . . . . . . . . .
)";

Point turned(const Point& p, double angle_rad, bool mirror)
{
    const double x = mirror ? -p.x_m : p.x_m;
    return {.x_m = x * std::cos(angle_rad) - p.y_m * std::sin(angle_rad),
            .y_m = x * std::sin(angle_rad) + p.y_m * std::cos(angle_rad)};
}

void turn_ring(Ring& ring, double angle_rad, bool mirror)
{
    for (auto& p : ring) {
        p = turned(p, angle_rad, mirror);
    }
}

/// The whole yard turned about the origin, or mirrored first.
DrawnYard turned(const std::string& drawing, double slope, double angle_rad, bool mirror)
{
    DrawnYard yard = draw_yard(drawing, sloping(slope));
    for (auto* areas : {&yard.site.parcel, &yard.site.foundations}) {
        for (auto& area : *areas) {
            turn_ring(area.outer, angle_rad, mirror);
        }
    }
    for (auto& keep_out : yard.site.keep_outs) {
        turn_ring(keep_out.area.outer, angle_rad, mirror);
    }
    for (auto& mark : yard.site.marks) {
        turn_ring(mark.line, angle_rad, mirror);
    }
    yard.site.sources[0].at = turned(yard.site.sources[0].at, angle_rad, mirror);
    auto& place = std::get<Point>(yard.site.outlets[0].place);
    place = turned(place, angle_rad, mirror);
    std::vector<Point3> spots;
    for (const auto& p : yard.ground.points()) {
        const Point at = turned(flat(p), angle_rad, mirror);
        spots.push_back({.x_m = at.x_m, .y_m = at.y_m, .elev_m = p.elev_m});
    }
    yard.ground = Ground::from_spots(spots, {});
    return yard;
}

} // namespace

TEST_CASE("a clear lawn gives one straight trench, whatever its angle", "[route]")
{
    for (int degrees = 0; degrees < 90; degrees += 7) {
        const auto yard = turned(open_lawn, -0.03, degrees * std::numbers::pi / 180, false);
        const auto outcome = routed(yard);
        INFO(degrees << " degrees");
        REQUIRE(std::holds_alternative<Route>(outcome));
        const auto& route = std::get<Route>(outcome);
        CHECK(route.line.size() == 2);
        CHECK(length_m(route.line) == Approx(13).epsilon(1e-9)); // 13 letters apart
        CHECK(route.line.back() == yard.site.sources[0].at);
        CHECK(route.line.front() == std::get<Point>(yard.site.outlets[0].place));
    }
}

TEST_CASE("the trench goes round a keep-out and keeps its clearance", "[route]")
{
    const auto yard = draw_yard(walled, sloping(-0.03));
    const auto outcome = routed(yard);
    REQUIRE(std::holds_alternative<Route>(outcome));
    const auto& route = std::get<Route>(outcome);
    const double clearance = yard.rules.section.width_m / 2 + yard.rules.keep_out_clearance_m;
    for (const auto& keep_out : yard.site.keep_outs) {
        CHECK(distance_m(route.line, keep_out.area) >= clearance - 1e-6);
    }
    // The taut string round the two lower corners of the wall (6 and 7 m across, 2 m up): rounding them at the
    // clearance no trench is shorter than past the corners themselves; past points a clearance out at 45 degrees is
    // near the best.
    const auto past = [&](double out_m) {
        const Point a{.x_m = 6 - out_m, .y_m = 2 - out_m};
        const Point b{.x_m = 7 + out_m, .y_m = 2 - out_m};
        return distance_m(route.line.back(), a) + distance_m(a, b) + distance_m(b, route.line.front());
    };
    CHECK(length_m(route.line) >= past(0) - 1e-9);
    CHECK(length_m(route.line) <= past(clearance) * 1.03);
    CHECK(route_faults(yard.site, yard.ground, yard.site.sources[0], yard.site.outlets[0], route, yard.rules).empty());
}

TEST_CASE("a mirrored or turned yard gives the mirrored or turned route", "[route]")
{
    const auto plain = std::get<Route>(routed(draw_yard(walled, sloping(-0.03))));
    for (const bool mirror : {false, true}) {
        for (int quarter = 0; quarter < 4; ++quarter) {
            const double angle = quarter * std::numbers::pi / 2;
            const auto outcome = routed(turned(walled, -0.03, angle, mirror));
            INFO("quarter turns " << quarter << ", mirrored " << mirror);
            REQUIRE(std::holds_alternative<Route>(outcome));
            const auto& route = std::get<Route>(outcome);
            CHECK(route.lattice_cost == Approx(plain.lattice_cost).epsilon(1e-6));
            CHECK(route.cost == Approx(plain.cost).epsilon(2e-3)); // the last small moves go by compass direction
            CHECK(length_m(route.line) == Approx(length_m(plain.line)).margin(0.1));
        }
    }
}

TEST_CASE("swapped ends give the same trench where the fall costs nothing", "[route]")
{
    auto there = draw_yard(walled, [](const Point&) { return 20.0; });
    there.rules.min_fall_ratio = 1e-9;
    auto back = draw_yard(walled, [](const Point&) { return 20.0; });
    back.rules.min_fall_ratio = 1e-9;
    std::swap(back.site.sources[0].at, std::get<Point>(back.site.outlets[0].place));
    const auto a = std::get<Route>(routed(there));
    const auto b = std::get<Route>(routed(back));
    CHECK(a.cost == Approx(b.cost).epsilon(5e-3));
    CHECK(length_m(a.line) == Approx(length_m(b.line)).epsilon(5e-3));
}

TEST_CASE("straightening never makes a route dearer and every route keeps its rules", "[route]")
{
    int found = 0;
    for (unsigned seed = 0; seed < 30; ++seed) {
        std::mt19937 random(seed);
        std::string drawing;
        for (int r = 0; r < 12; ++r) {
            for (int c = 0; c < 16; ++c) {
                const auto roll = random() % 100;
                const bool source = r == 6 && c == 1;
                const bool outlet = r == 5 && c == 14;
                drawing += source ? 'S' : outlet ? 'O' : roll < 9 ? 'X' : roll < 20 ? 'D' : '.';
            }
            drawing += '\n';
        }
        const double a = 0.01 + 0.0003 * static_cast<double>(seed);
        const auto yard = draw_yard(
            drawing, [a](const Point& p) { return 20 - a * p.x_m + 0.08 * std::sin(p.x_m) * std::cos(0.7 * p.y_m); });
        const auto outcome = routed(yard);
        const auto* route = std::get_if<Route>(&outcome);
        if (route == nullptr) {
            continue;
        }
        ++found;
        INFO("seed " << seed);
        CHECK(route->cost <= route->lattice_true_cost + 1e-9);
        const auto faults =
            route_faults(yard.site, yard.ground, yard.site.sources[0], yard.site.outlets[0], *route, yard.rules);
        CHECK((faults.empty() ? "" : faults[0].text) == std::string());
    }
    CHECK(found >= 15);
}

TEST_CASE("a slanting mark is crossed nearer to square when hand digging is dear", "[route]")
{
    const char* const slanted = R"(
        . . . . . . . . . . . . . . .
        . . . . . . . . . G . . . . .
        . . . . . . . . . . . . . . .
        . S . . . . . . . . . . . O .
        . . . . . . . . . . . . . . .
        . . . . . G . . . . . . . . .
        . . . . . . . . . . . . . . .
    )";
    auto yard = draw_yard(slanted, sloping(-0.03));
    yard.rules.hand_per_m = 500;
    yard.site.marks[0].line = {{.x_m = -2.5, .y_m = -7},
                               {.x_m = 17.5, .y_m = 13}}; // across the whole lot, no way round
    const auto& mark = yard.site.marks[0].line;
    const Polyline direct{yard.site.sources[0].at, std::get<Point>(yard.site.outlets[0].place)};
    const auto route = std::get<Route>(routed(yard));
    const auto straight = crossings(direct, mark);
    const auto chosen = crossings(route.line, mark);
    REQUIRE(straight.size() == 1);
    REQUIRE(chosen.size() == 1);
    CHECK(chosen[0].angle_rad > straight[0].angle_rad + 0.3); // 45 degrees on the direct line
}

TEST_CASE("level ground is refused by just the fall that closed arithmetic misses", "[route]")
{
    auto yard = draw_yard(open_lawn, [](const Point&) { return 20.0; });
    yard.rules.min_fall_ratio = 0.02;
    const auto& section = yard.rules.section;
    const double cover = yard.rules.surfaces.at("lawn").min_cover_m;
    // Highest invert at the wall, less 2 % over 13 m, against the lowest the outlet takes.
    const double arrives = 20 - cover - section.outside_diameter_m + section.wall_m - 0.02 * 13;
    yard.site.outlets[0].lowest_invert_elev_m = arrives + 0.05;
    const auto outcome = routed(yard);
    REQUIRE(std::holds_alternative<Refusal>(outcome));
    const auto& refusal = std::get<Refusal>(outcome);
    CHECK(refusal.kind == RefusalKind::falls_short);
    CHECK(*refusal.short_by_m == Approx(0.05).margin(0.0005));
    yard.site.outlets[0].lowest_invert_elev_m = arrives;
    const auto drains = routed(yard);
    REQUIRE(std::holds_alternative<Route>(drains)); // just drains: only the straight line does
    CHECK(length_m(std::get<Route>(drains).line) == Approx(13).margin(1e-6));
}

TEST_CASE("a depth limit, a wall of keep-outs and missing ground are refused with their own reasons", "[route]")
{
    // A 1 m bank between source and outlet: it drains only by a cut deeper than the limit.
    auto bank =
        draw_yard(open_lawn, [](const Point& p) { return 20 - 0.02 * p.x_m + (std::abs(p.x_m - 8) < 4 ? 1.0 : 0); });
    bank.rules.deepest_cut_m = 0.7;
    const auto deep = routed(bank);
    REQUIRE(std::holds_alternative<Refusal>(deep));
    CHECK(std::get<Refusal>(deep).kind == RefusalKind::too_deep);

    std::string ring = open_lawn;
    auto closed_in = draw_yard(ring, sloping(-0.03));
    Polygon wall = square_m(12, 0, 5);
    wall.holes.push_back(square_m(13.2, 1.2, 2.6).outer);
    closed_in.site.keep_outs.push_back({.id = "W", .reason = "wall", .area = wall, .origin = {}});
    const auto blocked = routed(closed_in);
    REQUIRE(std::holds_alternative<Refusal>(blocked));
    CHECK(std::get<Refusal>(blocked).kind == RefusalKind::blocked);

    // A downspout drawn 0.3 m inside the outline of the house, as outlines that show the eaves have it.
    auto eaves = draw_yard(open_lawn, sloping(-0.03));
    const Point at = eaves.site.sources[0].at;
    eaves.site.foundations = {square_m(at.x_m - 4.7, at.y_m - 2, 5)};
    const auto shut_in = routed(eaves);
    REQUIRE(std::holds_alternative<Refusal>(shut_in));
    CHECK(std::get<Refusal>(shut_in).kind == RefusalKind::blocked);
    CHECK(std::get<Refusal>(shut_in).text.find("inside the foundation") != std::string::npos);
    CHECK(*std::get<Refusal>(shut_in).short_by_m == Approx(0.3));
    eaves.site.foundations = {square_m(at.x_m - 5, at.y_m - 2, 5)}; // on the wall
    CHECK(std::holds_alternative<Route>(routed(eaves)));

    auto far = draw_yard(open_lawn, sloping(-0.03));
    far.site.parcel[0].outer[1].x_m = far.site.parcel[0].outer[2].x_m = 60;
    std::get<Point>(far.site.outlets[0].place).x_m = 30;
    const auto none = routed(far);
    REQUIRE(std::holds_alternative<Refusal>(none));
    CHECK(std::get<Refusal>(none).kind == RefusalKind::no_ground);
    CHECK(*std::get<Refusal>(none).short_by_m == Approx(30 - 20).margin(0.01)); // the shots end at x = 20
}

TEST_CASE("common 4 in pipes do not fit a 6 in curb and 3 in pipe does", "[route]")
{
    // Los Angeles curb-drain procedure: top of pipe at least 2 in below the top of the curb; outside diameters of
    // ASTM D3034 (4.215) and D1785 (4.500), docs/sources.md, O4 and O6; 3 in D2729 is 3.250, O8.
    auto yard = draw_yard(open_lawn, sloping(-0.03));
    auto& outlet = yard.site.outlets[0];
    outlet.kind = OutletKind::curb;
    outlet.lowest_invert_elev_m.reset();
    outlet.gutter_elev_m = 19.3;
    outlet.curb_top_elev_m = 19.3 + 6 * inch_in_m;
    const auto fits = [&](double outside_in, double wall_in) {
        yard.rules.section.outside_diameter_m = outside_in * inch_in_m;
        yard.rules.section.wall_m = wall_in * inch_in_m;
        const auto end =
            end_at(yard.site, yard.ground, outlet, yard.rules, std::get<Point>(outlet.place), UnitSystem::us);
        return std::holds_alternative<EndPoint>(end) ? 0.0 : *std::get<Refusal>(end).short_by_m / inch_in_m;
    };
    CHECK(fits(3.250, 0.070) == 0);
    CHECK(fits(4.000, 0) == 0);
    CHECK(fits(4.215, 0.120) == Approx(4.215 - 0.120 + 2 - 6).margin(1e-6)); // invert at the gutter, wall below it
    CHECK(fits(4.500, 0.237) == Approx(4.500 - 0.237 + 2 - 6).margin(1e-6));
}

TEST_CASE("an outlet line or area is met where the trench is cheapest", "[route]")
{
    auto yard = draw_yard(open_lawn, sloping(-0.03));
    yard.site.outlets[0].place = Polyline{{.x_m = 14.5, .y_m = -2}, {.x_m = 14.5, .y_m = 7}};
    const auto to_line = std::get<Route>(routed(yard));
    CHECK(length_m(to_line.line) == Approx(13).margin(0.01)); // square to the line
    yard.site.outlets[0].place = square_m(9, -1, 3);
    yard.site.outlets[0].lowest_invert_elev_m = 19;
    const auto to_area = std::get<Route>(routed(yard));
    CHECK(length_m(to_area.line) == Approx(std::hypot(9 - 1.5, 2.5 - 2)).margin(0.02)); // its nearest corner
}
