#include "trenchwright/base/error.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/dig/footing_drain.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/rules/rules.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <random>

using namespace trenchwright;

namespace {

constexpr double ft = 0.3048;
constexpr double in = 0.0254;
constexpr double cubic_ft = ft * ft * ft;
constexpr double lb_per_cubic_ft = 0.45359237 / cubic_ft;

Site site_with(const std::vector<Polyline>& lines, const std::vector<Point>& pumps)
{
    Site site;
    for (const auto& line : lines) {
        site.footing_drains.push_back({.id = "F", .line = line, .origin = {}});
    }
    for (const auto& at : pumps) {
        Source pump;
        pump.kind = SourceKind::pump;
        pump.water = Water::sump;
        pump.at = at;
        site.sources.push_back(pump);
    }
    return site;
}

/// 12 in square of stone about a pipe of 4.215 in, no fall; no swell, no shrink.
FootingRules envelope()
{
    FootingRules rules;
    rules.trench_depth_m = 12 * in;
    rules.trench_width_m = 12 * in;
    rules.outside_diameter_m = 4.215 * in;
    rules.wall_m = 0.075 * in;
    rules.stone_under_m = (12 - 4.215) / 2 * in;
    rules.stone_over_m = rules.stone_under_m;
    rules.bag_yield_m3 = 0.5 * cubic_ft;
    rules.stone_kg_per_m3 = 105 * lb_per_cubic_ft;
    rules.join_reach_m = 6 * in;
    return rules;
}

FootingWork work_of(const Site& site, const FootingRules& rules, const SoilRules& soil = {})
{
    const auto work = footing_work(site, rules, soil);
    REQUIRE(work.has_value());
    return *work;
}

} // namespace

TEST_CASE("100 ft of stone about a pipe takes the stone, the tons and the bags of docs/sources.md, K6", "[footing]")
{
    // docs/sources.md, K6: 100 ft of 12 x 12 in around 4.215 in: 90.31 ft3, 4.74 ton at 105 lb/ft3, 181 bags; tolerance
    // 0.02 ft3.
    const auto work = work_of(site_with({{{0, 0}, {100 * ft, 0}}}, {}), envelope());
    CHECK(work.length_m == Approx(100 * ft));
    CHECK(work.stone_m3 / cubic_ft == Approx(90.31).margin(0.02));
    CHECK(work.stone_kg / 0.45359237 / 2000 == Approx(4.74).margin(0.005));
    CHECK(work.bags == 181);
    // docs/sources.md, O13: the pipe alone takes 9.690 ft3. V3: 12 in wide and 1 ft deep is 3.70 yd3.
    CHECK(work.pipe_m3 / cubic_ft == Approx(9.690).margin(0.001));
    CHECK(work.cut_m3 / (27 * cubic_ft) == Approx(3.70).margin(0.005));
    CHECK(work.refill_m3 == Approx(0).margin(1e-9));
}

TEST_CASE("a trench one shovel wide and 8 in deep has the volume of docs/sources.md, V2", "[footing]")
{
    // docs/sources.md, V2: 8 in wide, 1 ft deep: 2.47 yd3 in 100 ft; 8 in deep is two thirds of that, 1.646.
    FootingRules rules = envelope();
    rules.trench_width_m = 8 * in;
    rules.trench_depth_m = 8 * in;
    rules.stone_under_m = 2 * in;
    rules.stone_over_m = 1.5 * in;
    const auto work = work_of(site_with({{{0, 0}, {100 * ft, 0}}}, {}), rules);
    CHECK(work.cut_m3 / (27 * cubic_ft) == Approx(2.47 * 8 / 12).margin(0.005));
}

TEST_CASE("bags of half a cubic foot: a cubic yard takes 54, and a bit more takes one more", "[footing]")
{
    // docs/sources.md, K1: 54 exactly. Stone of 1 ft x 1 ft about a hair of pipe: 27 ft hold 27 ft3.
    FootingRules rules = envelope();
    rules.outside_diameter_m = 1e-7;
    rules.wall_m = 0;
    rules.stone_under_m = rules.stone_over_m = 6 * in - 1e-7;
    CHECK(work_of(site_with({{{0, 0}, {27 * ft, 0}}}, {}), rules).bags == 54);
    // 27.1 ft hold 27.1 ft3, 54.2 bags.
    CHECK(work_of(site_with({{{0, 0}, {27.1 * ft, 0}}}, {}), rules).bags == 55);
    // docs/sources.md, K5: 40 ft2 at 3 in is 10 ft3, 20 bags: 40 ft of 1 ft x 3 in.
    rules.stone_under_m = 3 * in - 1e-7;
    rules.stone_over_m = 0;
    CHECK(work_of(site_with({{{0, 0}, {40 * ft, 0}}}, {}), rules).bags == 20);
}

TEST_CASE("the pipe falls to the pit at the minimum fall and the trench deepens with it", "[footing]")
{
    // 40 ft at 1/8 in per ft: 5 in. The trench goes from 12 to 17 in, 14.5 in the mean: 40 x 1 x 14.5 / 12 ft3.
    FootingRules rules = envelope();
    rules.min_fall_ratio = 1.0 / 96;
    // L-shaped: 30 ft and 10 ft, the pump 1 ft beyond the end.
    const auto site = site_with({{{0, 0}, {30 * ft, 0}, {30 * ft, 10 * ft}}}, {{30 * ft, 11 * ft}});
    const SoilRules soil{.swell_ratio = 0.25, .shrink_ratio = 0.12};
    const auto work = work_of(site, rules, soil);
    REQUIRE(work.pits.size() == 1);
    const auto& pit = work.pits[0];
    CHECK(distance_m(pit.at, {30 * ft, 10 * ft}) == Approx(0).margin(1e-12));
    CHECK(pit.source == 0);
    CHECK(pit.to_source_m == Approx(1 * ft));
    CHECK(distance_m(pit.farthest, {0, 0}) == Approx(0).margin(1e-12));
    CHECK(pit.longest_run_m == Approx(40 * ft));
    CHECK(pit.fall_m == Approx(5 * in));
    CHECK(pit.trench_depth_m == Approx(17 * in));
    // Bottom 17 in down, 3.8925 in of stone, 0.075 in of wall: invert 13.0325 in under the floor.
    CHECK(pit.inlet_depth_m == Approx((17 - 3.8925 - 0.075) * in));
    CHECK(work.cut_m3 / cubic_ft == Approx(40 * 14.5 / 12));
    // Over 12 in of stone lie 2.5 in the mean: 40 x 2.5 / 12 = 8.333 ft3 of room, which takes 8.333 / 0.88 = 9.470 of
    // soil; of 48.333 dug 38.864 are left, swollen 48.580.
    CHECK(work.refill_m3 / cubic_ft == Approx(40 * 2.5 / 12));
    CHECK(work.spoil_m3 / cubic_ft == Approx(38.864).margin(0.001));
    CHECK(work.spoil_loose_m3 / cubic_ft == Approx(48.580).margin(0.001));
    CHECK_FALSE(work.spoil_stays);
    rules.keep_spoil_inside = true;
    CHECK(work_of(site, rules, soil).spoil_stays);
}

TEST_CASE("dirt swells as docs/sources.md, W4 says", "[footing]")
{
    // docs/sources.md, W4: swell 25 %, 100 yd3 in place are 125 loose. A trench full of stone leaves all its dirt: 2700
    // ft of 1 ft x 1 ft.
    const auto work =
        work_of(site_with({{{0, 0}, {2700 * ft, 0}}}, {}), envelope(), {.swell_ratio = 0.25, .shrink_ratio = 0.12});
    CHECK(work.spoil_m3 / (27 * cubic_ft) == Approx(100));
    CHECK(work.spoil_loose_m3 / (27 * cubic_ft) == Approx(125));
}

TEST_CASE("a ring drains both ways round", "[footing]")
{
    // 10 m x 6 m, pit at a corner: 32 m of pipe, the farthest place half way round, at the opposite corner.
    FootingRules rules = envelope();
    rules.min_fall_ratio = 0.01;
    const Polyline ring{{0, 0}, {10, 0}, {10, 6}, {0, 6}, {0, 0}};
    const auto work = work_of(site_with({ring}, {{10, 7}}), rules);
    REQUIRE(work.pits.size() == 1);
    CHECK(work.pits[0].at == Point{10, 6});
    CHECK(work.pits[0].longest_run_m == Approx(16));
    CHECK(work.pits[0].farthest == Point{0, 0});
    // Both halves fall 0.16 m: mean depth 12 in + 0.08 m.
    CHECK(work.cut_m3 == Approx(32 * 12 * in * (12 * in + 0.08)));
}

TEST_CASE("a place between drains the shorter way", "[footing]")
{
    FootingRules rules = envelope();
    rules.min_fall_ratio = 0.01;
    // An equal triangle of 10 m a side: the far place is the middle of the side opposite to the pit, 15 m away.
    const double height = std::sqrt(75.0);
    const Polyline ring{{0, 0}, {10, 0}, {5, height}, {0, 0}};
    const auto work = work_of(site_with({ring}, {{5, height + 1}}), rules);
    REQUIRE(work.pits.size() == 1);
    CHECK(work.pits[0].longest_run_m == Approx(15));
    CHECK(distance_m(work.pits[0].farthest, {5, 0}) == Approx(0).margin(1e-9));
    CHECK(work.pits[0].length_m == Approx(30));
}

TEST_CASE("lines that meet are one drain; lines apart are not", "[footing]")
{
    FootingRules rules = envelope();
    rules.min_fall_ratio = 0.01;
    // The second ends 0.1 m from the middle of the first, within 6 in; the pump is at the first's end.
    const Polyline first{{0, 0}, {20, 0}};
    const Polyline near{{12, 8}, {12, 0.1}};
    const auto joined = work_of(site_with({first, near}, {{21, 0}}), rules);
    REQUIRE(joined.pits.size() == 1);
    CHECK(joined.pits[0].length_m == Approx(20 + 7.9));
    CHECK(joined.pits[0].longest_run_m == Approx(20)); // the branch: 7.9 + 8 = 15.9
    const Polyline apart{{12, 8}, {12, 0.5}};
    const auto parted = work_of(site_with({first, apart}, {{21, 0}}), rules);
    REQUIRE(parted.pits.size() == 2);
    CHECK(parted.pits[0].source == 0);
    CHECK_FALSE(parted.pits[1].source.has_value());
    CHECK(parted.pits[1].at == Point{12, 0.5});
    CHECK(parted.pits[1].longest_run_m == Approx(7.5));
}

TEST_CASE("two pumps have a pit each and share the pipe between", "[footing]")
{
    FootingRules rules = envelope();
    rules.min_fall_ratio = 0.02;
    const auto work = work_of(site_with({{{0, 0}, {30, 0}}}, {{-1, 0}, {31, 0}}), rules);
    REQUIRE(work.pits.size() == 2);
    for (const auto& pit : work.pits) {
        CHECK(pit.length_m == Approx(15));
        CHECK(pit.longest_run_m == Approx(15));
        CHECK(pit.fall_m == Approx(0.3));
    }
}

TEST_CASE("turning the lot, or drawing a line the other way, changes no volume", "[footing]")
{
    FootingRules rules = envelope();
    rules.min_fall_ratio = 1.0 / 96;
    std::mt19937 random(7);
    std::uniform_real_distribution<double> meters(-20, 20);
    for (int i = 0; i < 200; ++i) {
        Polyline line;
        for (int n = 0; n < 5; ++n) {
            line.push_back({meters(random), meters(random)});
        }
        const Point pump{meters(random), meters(random)};
        const double angle = meters(random);
        const auto turned = [&](const Point& p) {
            return Point{p.x_m * std::cos(angle) - p.y_m * std::sin(angle) + 500,
                         p.x_m * std::sin(angle) + p.y_m * std::cos(angle) - 300};
        };
        Polyline other;
        for (const auto& p : line) {
            other.insert(other.begin(), turned(p));
        }
        const auto a = work_of(site_with({line}, {pump}), rules);
        const auto b = work_of(site_with({other}, {turned(pump)}), rules);
        CHECK(a.cut_m3 == Approx(b.cut_m3));
        CHECK(a.pits[0].longest_run_m == Approx(b.pits[0].longest_run_m));
        // What is dug is stone, pipe, refill; nothing else.
        CHECK(a.cut_m3 == Approx(a.stone_m3 + a.pipe_m3 + a.refill_m3));
    }
}

TEST_CASE("no footing drain gives no work, and a rule that is no number stops", "[footing]")
{
    CHECK_FALSE(footing_work(site_with({}, {{0, 0}}), envelope(), {}).has_value());
    const auto site = site_with({{{0, 0}, {10, 0}}}, {});
    for (const auto member : {&FootingRules::trench_depth_m, &FootingRules::trench_width_m,
                              &FootingRules::outside_diameter_m, &FootingRules::wall_m, &FootingRules::stone_under_m,
                              &FootingRules::stone_over_m, &FootingRules::min_fall_ratio, &FootingRules::join_reach_m,
                              &FootingRules::bag_yield_m3, &FootingRules::stone_kg_per_m3}) {
        for (const double wrong : {std::numeric_limits<double>::quiet_NaN(), -1.0}) {
            auto rules = envelope();
            rules.*member = wrong;
            CHECK_THROWS_AS(footing_work(site, rules, {}), Error);
        }
    }
    CHECK_THROWS_AS(footing_work(site, envelope(), {.swell_ratio = 0, .shrink_ratio = 1}), Error);
}

TEST_CASE("the length outside the foundations is counted once", "[footing]")
{
    const Polygon house{.outer = {{0, 0}, {10, 0}, {10, 8}, {0, 8}}, .holes = {}};
    const Polygon wing{.outer = {{8, 2}, {14, 2}, {14, 6}, {8, 6}}, .holes = {}};
    CHECK(outside_foundations_m({{1, 1}, {9, 1}}, {house}) == Approx(0).margin(1e-12));
    // From 1 to 20 along y = 4: 14 to 20 is outside.
    CHECK(outside_foundations_m({{1, 4}, {20, 4}}, {house, wing}) == Approx(6));
    CHECK(outside_foundations_m({{1, 1}, {9, 1}}, {}) == Approx(8));
}

TEST_CASE("stone that does not fit the trench is refused with the settings' names", "[footing]")
{
    auto rules = default_rules();
    // 2 + 4.215 + 1.5 = 7.715 in do not fit in 7 in.
    CHECK_THROWS_WITH(set_rule(rules, "footing.trench_depth", "7 in"), Catch::Contains("footing.stone_over"));
    // 4.215 + 2 x 1.5 = 7.215 in do not fit in 7 in.
    CHECK_THROWS_WITH(set_rule(rules, "footing.trench_width", "7 in"), Catch::Contains("footing.stone_beside"));
    CHECK_NOTHROW(set_rule(rules, "footing.trench_depth", "7.715 in"));
    CHECK(rules.footing.stone_kg_per_m3 == Approx(100 * lb_per_cubic_ft)); // K2
    CHECK(rules.footing.bag_yield_m3 == Approx(0.5 * cubic_ft));           // K2
}

TEST_CASE("a pump whose pit takes a footing drain lifts footing water, and the weaker permission counts", "[footing]")
{
    auto site = site_with({{{0, 0}, {5, 0}}}, {{5, 1}});
    Source downspout;
    downspout.water = Water::roof;
    site.sources.push_back(downspout);
    const auto& pump = site.sources[0];
    CHECK(waters_of(site, pump) == std::set<Water>{Water::sump, Water::footing});
    CHECK(waters_text(site, pump) == "sump and footing");
    CHECK(waters_of(site, site.sources[1]) == std::set<Water>{Water::roof});
    CHECK(waters_of(site) == std::set<Water>{Water::roof, Water::sump, Water::footing});
    Outlet outlet;
    outlet.permission = {{Water::roof, Permission::yes}, {Water::sump, Permission::yes}};
    CHECK(permission_for(site, outlet, pump) == Permission::unstated);
    CHECK(permission_for(site, outlet, site.sources[1]) == Permission::yes);
    for (const auto footing : {Permission::yes, Permission::ask, Permission::no}) {
        outlet.permission[Water::footing] = footing;
        CHECK(permission_for(site, outlet, pump) == footing);
    }
    outlet.permission[Water::footing] = Permission::ask;
    outlet.permission[Water::sump] = Permission::unstated; // nobody asked is weaker than "ask"
    CHECK(permission_for(site, outlet, pump) == Permission::unstated);
    site.footing_drains.clear();
    CHECK(waters_of(site, site.sources[0]) == std::set<Water>{Water::sump});
}
