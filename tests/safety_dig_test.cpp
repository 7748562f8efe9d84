#include "profile_problems.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/dig/beside.hpp"
#include "trenchwright/dig/excavation.hpp"
#include "trenchwright/dig/footing_wedge.hpp"
#include "trenchwright/dig/setbacks.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/over.hpp"
#include "trenchwright/route/obstacles.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

constexpr double ft = ft_in_m;

/// A trench on level pipe whose cuts are given at even stations; neither wall nor bedding, so invert is bottom.
struct Dug {
    ProfileProblem problem;
    Profile profile;
};
Dug dug(const std::vector<double>& cuts_m, double spacing_m, double width_m)
{
    std::vector<GroundPoint> ground;
    for (std::size_t i = 0; i < cuts_m.size(); ++i) {
        ground.push_back({.station_m = static_cast<double>(i) * spacing_m, .elev_m = cuts_m[i]});
    }
    const double length = ground.back().station_m;
    Dug made{.problem = problem_over(std::move(ground)), .profile = {}};
    made.problem.section = {.width_m = width_m, .outside_diameter_m = 1e-6, .wall_m = 0, .bedding_m = 0};
    made.profile.points = {{.station_m = 0, .invert_elev_m = 0}, {.station_m = length, .invert_elev_m = 0}};
    return made;
}

/// In-place volume of a trench with sloped sides, in cubic feet; cuts and sizes in feet.
double sloped_ft3(const std::vector<double>& cuts_ft, double spacing_ft, double base_ft, double slope)
{
    std::vector<double> cuts_m;
    for (const double cut : cuts_ft) {
        cuts_m.push_back(cut * ft);
    }
    const auto made = dug(cuts_m, spacing_ft * ft, base_ft * ft);
    const Interval whole{0, made.problem.ground.back().station_m};
    const double volume = trench_volume_m3(made.problem, made.profile, whole) +
                          side_slope_volume_m3(made.problem, made.profile, whole, slope);
    return volume / (ft * ft * ft);
}

Polygon box(double x, double y, double to_x, double to_y)
{
    return {.outer = {{x, y}, {to_x, y}, {to_x, to_y}, {x, to_y}}, .holes = {}};
}

SiteObject thing(const char* name, std::variant<Polygon, Polyline, Point> shape)
{
    return {.kind = SiteObjectKind::keep_out, .name = name, .shape = std::move(shape)};
}

} // namespace

TEST_CASE("a concave function is over its limit exactly where algebra says", "[over]")
{
    // 4 - (x - 3)^2 > 0 between 1 and 5, most 4 at 3
    const auto over = exceeding_spans(0, 10, [](double x) { return 4 - (x - 3) * (x - 3); });
    REQUIRE(over);
    CHECK(over->span.from_m == Approx(1).margin(1e-6));
    CHECK(over->span.to_m == Approx(5).margin(1e-6));
    CHECK(over->max_m == Approx(4).margin(1e-9));
    CHECK(over->max_station_m == Approx(3).margin(1e-4));
    CHECK_FALSE(exceeding_spans(0, 10, [](double x) { return -std::abs(x - 2); }));
    CHECK_FALSE(exceeding_spans(0, 1, [](double) { return std::nan(""); }));
}

TEST_CASE("E3: side slopes by the prismoid, Vose's railroad cutting", "[volume]")
{
    CHECK(sloped_ft3({0, 5, 10, 15, 0}, 50, 20, 1.5) == Approx(52'500).epsilon(1e-9));
}

TEST_CASE("E4: end areas give more than the prismoid by L z (h1 - h2)^2 / 6", "[volume]")
{
    // docs/sources.md, E2, E1: average end area of 0, 137.5, 350, 637.5, 0 ft2 at 50 ft is 56,250 ft3
    CHECK(56'250 - sloped_ft3({0, 5, 10, 15, 0}, 50, 20, 1.5) == Approx(3'750).epsilon(1e-9));
}

TEST_CASE("E8, E9, E10: trenches that deepen evenly", "[volume]")
{
    CHECK(sloped_ft3({1, 3}, 100, 1, 0) == Approx(200).epsilon(1e-9));
    CHECK(sloped_ft3({1, 3}, 100, 1, 1) == Approx(633.3333333).epsilon(1e-9));
    CHECK(sloped_ft3({2, 4}, 100, 2, 1) == Approx(1533.3333333).epsilon(1e-9));
}

TEST_CASE("side slopes agree with slicing, and do not care which way the trench is walked", "[volume]")
{
    std::mt19937 random(4); // fixed: the same lots every time
    std::uniform_real_distribution<double> cut(0.2, 3);
    for (int trial = 0; trial < 50; ++trial) {
        std::vector<double> cuts(6);
        std::ranges::generate(cuts, [&] { return cut(random); });
        const auto made = dug(cuts, 2, 0.3);
        const double slope = cut(random);
        double sliced = 0;
        constexpr int slices = 20'000;
        for (int i = 0; i < slices; ++i) {
            const double c = ground_at_m(made.problem.ground, 10.0 * (i + 0.5) / slices);
            sliced += 10.0 / slices * slope * c * c;
        }
        const double volume = side_slope_volume_m3(made.problem, made.profile, {0, 10}, slope);
        CHECK(volume == Approx(sliced).epsilon(1e-6));
        std::ranges::reverse(cuts);
        const auto back = dug(cuts, 2, 0.3);
        CHECK(side_slope_volume_m3(back.problem, back.profile, {0, 10}, slope) == Approx(volume).epsilon(1e-12)); // Q9
    }
}

TEST_CASE("stretches deeper than a limit begin and end where the straight cut passes it", "[volume]")
{
    const auto made = dug({1, 3, 1}, 10, 0.3);
    const auto deep = cut_from(made.problem, made.profile, 2);
    REQUIRE(deep.size() == 1); // one stretch, though it is two pieces
    CHECK(deep[0].span.from_m == Approx(5));
    CHECK(deep[0].span.to_m == Approx(15));
    CHECK(deep[0].max_m == Approx(3));
    CHECK(deep[0].max_station_m == Approx(10));
    CHECK(cut_from(made.problem, made.profile, 3.001).empty());
    CHECK(cut_from(made.problem, made.profile, 3).size() == 1); // "from this depth on"
    // supported faces: both sides of 10 m at a mean cut of 2.5 m
    CHECK(face_area_m2(made.problem, made.profile, {5, 15}) == Approx(50));
}

TEST_CASE("the shipped side slopes are those of table B-1", "[rules]")
{
    // 29 CFR 1926 Subpart P, App. B, table B-1: rock vertical; A 3/4:1 (53 deg), B 1:1 (45), C 1 1/2:1 (34)
    const auto rules = default_rules().safety.protection;
    const auto degrees = [](double across) { return std::round(std::atan(1 / across) * 180 / std::numbers::pi); };
    CHECK(rules.slope_a_ratio == 0.75);
    CHECK(degrees(rules.slope_a_ratio) == 53);
    CHECK(degrees(rules.slope_b_ratio) == 45);
    CHECK(degrees(rules.slope_c_ratio) == 34);
    CHECK(rules.soil == "unknown");
    CHECK(rules.engineer_cut_m == Approx(20 * ft));
    CHECK(default_rules().protective_system_cut_m == Approx(5 * ft));
    CHECK(default_rules().egress_and_air_test_cut_m == Approx(4 * ft));
    CHECK(default_rules().safety.spoil_setback_m == Approx(2 * ft));
}

TEST_CASE("UPC 314.1: a trench beside a footing may be as deep below it as it is away", "[wedge]")
{
    const std::vector<Polygon> house{box(0, 0, 10, 8)};
    const FootingEdge footing{.bottom_elev_m = 100, .outer_edge_m = 0.1, .inner_edge_m = {}};
    const auto at = [&](double side_m, double depth_m, double ratio) {
        const double axis_y = -(0.1 + side_m + 0.15); // trench 0.3 wide
        const std::vector<GradePoint> bottom{{0, 100 - depth_m}, {6, 100 - depth_m}};
        return wedge_breaches({{2, axis_y}, {8, axis_y}}, 0.3, bottom, house, footing, ratio);
    };
    CHECK(at(1, 0.999, 1).empty());
    CHECK(at(1, 1, 1).empty()); // on the line is not below it
    const auto over = at(1, 1.25, 1);
    REQUIRE(over.size() == 1);
    CHECK(over[0].max_m == Approx(0.25));
    CHECK(over[0].span.from_m == Approx(0));
    CHECK(over[0].span.to_m == Approx(6));
    CHECK(at(1, 0.75, 2)[0].max_m == Approx(0.25)); // twice as far in sand: half as deep
    CHECK(at(1, -5, 1).empty());                    // above the footing's bottom anywhere
    CHECK(at(0, -0.001, 1).empty());
    CHECK(at(-0.05, 0.2, 1)[0].max_m == Approx(0.2)); // under the footing itself
}

TEST_CASE("a trench that leaves the wall squarely is over the line until it is as far as it is deep", "[wedge]")
{
    const std::vector<Polygon> house{box(0, 0, 10, 8)};
    const FootingEdge footing{.bottom_elev_m = 100, .outer_edge_m = 0.2, .inner_edge_m = {}};
    // from the outlet at y = -10 up to the wall, bottom at 99.5: over the line nearer than 0.5 m to the edge at y =
    // -0.2
    const std::vector<GradePoint> bottom{{0, 99.5}, {10, 99.5}};
    const auto over = wedge_breaches({{5, -10}, {5, 0}}, 0.3, bottom, house, footing, 1);
    REQUIRE(over.size() == 1);
    CHECK(over[0].span.from_m == Approx(9.3).margin(1e-6));
    CHECK(over[0].span.to_m == Approx(10));
    CHECK(over[0].max_m == Approx(0.5));
}

TEST_CASE("the wedge hides nothing between samples, at corners and on slants", "[wedge]")
{
    std::mt19937 random(11);
    std::uniform_real_distribution<double> coordinate(-6, 16);
    std::uniform_real_distribution<double> depth(0.2, 4);
    const Polygon ell{.outer = {{0, 0}, {10, 0}, {10, 4}, {5, 4}, {5, 9}, {0, 9}}, .holes = {}};
    const FootingEdge footing{.bottom_elev_m = 100, .outer_edge_m = 0.3, .inner_edge_m = 0.2};
    // the footing as a shape of its own: outline moved out by 0.3 and in by 0.2, square corners
    const Polygon strip{.outer = {{-0.3, -0.3}, {10.3, -0.3}, {10.3, 4.3}, {5.3, 4.3}, {5.3, 9.3}, {-0.3, 9.3}},
                        .holes = {{{0.2, 0.2}, {9.8, 0.2}, {9.8, 3.8}, {4.8, 3.8}, {4.8, 8.8}, {0.2, 8.8}}}};
    int over_somewhere = 0;
    for (int trial = 0; trial < 200; ++trial) {
        const Polyline line{{coordinate(random), coordinate(random)},
                            {coordinate(random), coordinate(random)},
                            {coordinate(random), coordinate(random)}};
        const double length = length_m(line);
        const std::vector<GradePoint> bottom{
            {0, 100 - depth(random)}, {length / 3, 100 - depth(random)}, {length, 100 - depth(random)}};
        const auto over = wedge_breaches(line, 0.4, bottom, {ell}, footing, 1);
        double most = 0;
        for (const auto& one : over) {
            most = std::max(most, one.max_m);
        }
        double sampled = 0;
        bool all_inside = true;
        for (int i = 0; i <= 300; ++i) {
            const double station = length * i / 300;
            const double first = distance_m(line[0], line[1]);
            const auto& a = station < first ? line[0] : line[1];
            const auto& b = station < first ? line[1] : line[2];
            const double run = distance_m(a, b);
            const Point side{.x_m = -(b.y_m - a.y_m) / run, .y_m = (b.x_m - a.x_m) / run};
            const Point axis = point_at(line, station);
            for (int j = -4; j <= 4; ++j) {
                const Point p{.x_m = axis.x_m + side.x_m * j * 0.05, .y_m = axis.y_m + side.y_m * j * 0.05};
                const double excess = 100 - distance_m(p, strip) - invert_at_m(bottom, station);
                sampled = std::max(sampled, excess);
                all_inside = all_inside && (excess < 1e-6 || std::ranges::any_of(
                                                                 over,
                                                                 [&](const ExceedingSpan& one) {
                                                                     return station > one.span.from_m - 1e-6 &&
                                                                            station < one.span.to_m + 1e-6;
                                                                 }));
            }
        }
        CHECK(all_inside);
        CHECK(most >= sampled - 1e-6);
        CHECK(most <= sampled + 0.3); // 300 samples on up to 40 m: nothing invented either
        over_somewhere += over.empty() ? 0 : 1;
    }
    CHECK(over_somewhere > 50);
    CHECK(over_somewhere < 200);
}

TEST_CASE("the spoil heap holds the loose dirt at its angle of repose", "[spoil]")
{
    const Heap heap{.width_m = 0.3,
                    .side_slope_ratio = 1.5,
                    .setback_m = 0.6,
                    .swell_ratio = 0.25,
                    .repose_rad = std::numbers::pi / 6};
    for (const bool sloped : {false, true}) {
        const double b = heap_width_m(heap, 2, sloped);
        const double section_m2 = b / 2 * (b / 2 * std::tan(std::numbers::pi / 6)); // triangle: half base x height
        const double dug_m2 = sloped ? 2 * (0.3 + 0.3 + 2 * 1.5 * 2) / 2 : 2 * 0.3; // trapezoid or rectangle
        CHECK(section_m2 == Approx(dug_m2 * 1.25));
    }
    CHECK(heap_end_m(heap, 2, true) == Approx(0.15 + 3 + 0.6 + heap_width_m(heap, 2, true)));
}

TEST_CASE("the spoil fits up to the station where the heap's foot meets the walk", "[spoil]")
{
    // No swell, 45 deg: the heap is 2 sqrt(w c) wide. w = 0.25, c from 0 to 4 over 40 m; axis to foot is
    // 0.125 + 0.6 + 2 sqrt(0.25 c). A walk 2.225 m off is met when 2 sqrt(0.25 c) = 1.5: c = 2.25, station 22.5.
    const auto made = dug({0, 4}, 40, 0.25);
    const auto cuts = cut_runs(made.problem, made.profile, {});
    const Heap heap{.width_m = 0.25, .setback_m = 0.6, .repose_rad = std::numbers::pi / 4};
    const Polyline line{{0, 0}, {40, 0}};
    const auto room = spoil_room(line, cuts, {thing("sidewalk", box(-5, 2.225, 50, 3.5))}, heap);
    REQUIRE(room.left.taken.size() == 1); // left looking up the line is y > 0
    CHECK(room.left.taken[0].name == "sidewalk");
    CHECK(room.left.taken[0].over.span.from_m == Approx(22.5).margin(1e-5));
    CHECK(room.left.taken[0].over.span.to_m == Approx(40));
    CHECK(room.left.taken_m == Approx(17.5).margin(1e-5));
    CHECK(room.right.taken.empty());
    CHECK_FALSE(room.on_left);
    CHECK(room.widest_m == Approx(2));
    CHECK(room.widest_station_m == Approx(40));
    // mirrored
    const auto other = spoil_room(line, cuts, {thing("sidewalk", box(-5, -3.5, 50, -2.225))}, heap);
    CHECK(other.right.taken_m == Approx(room.left.taken_m));
    CHECK(other.on_left);
}

TEST_CASE("spoil never lies on a walk the trench crosses, nor past a fence's end", "[spoil]")
{
    const auto made = dug({1, 1}, 20, 0.25);
    const auto cuts = cut_runs(made.problem, made.profile, {});
    const Heap heap{.width_m = 0.25, .setback_m = 0.6, .repose_rad = std::numbers::pi / 4}; // foot 1.725 m off
    const Polyline line{{0, 0}, {20, 0}};
    const auto crossed = spoil_room(line, cuts, {thing("sidewalk", box(8, -10, 9.5, 10))}, heap);
    CHECK(crossed.left.taken_m == Approx(1.5));
    CHECK(crossed.right.taken_m == Approx(1.5));
    const auto slant = spoil_room(line, cuts, {thing("fence", Polyline{{0, 0.725}, {20, 2.725}})}, heap);
    CHECK(slant.left.taken_m == Approx(10).margin(1e-5)); // y = 1.725 at station 10
    // a root circle of 0.5 m about a trunk 2 m off: met where 2 - sqrt(0.25 - x^2) < 1.725
    auto tree = thing("tree", Point{.x_m = 12, .y_m = 2});
    tree.reach_m = 0.5;
    const auto roots = spoil_room(line, cuts, {tree}, heap);
    CHECK(roots.left.taken_m == Approx(2 * std::sqrt(0.25 - 0.275 * 0.275)).margin(1e-5));
}

TEST_CASE("side slopes reach a wall where half the width and the slope say so", "[opening]")
{
    // 0.3 wide, 1.5:1, cut 1 to 3 over 20 m: the opening reaches 0.15 + 1.5 c. A wall 3.15 m off is met from c = 2 on.
    const auto made = dug({1, 3}, 20, 0.3);
    const auto cuts = cut_runs(made.problem, made.profile, {});
    const Polyline line{{0, 0}, {20, 0}};
    const std::vector<SiteObject> house{thing("foundation", box(-30, 3.15, 60, 12))};
    const auto reached = reached_by_opening(line, cuts, house, 0.3, 1.5);
    REQUIRE(reached.size() == 1);
    CHECK(reached[0].over.span.from_m == Approx(10).margin(1e-6));
    CHECK(reached[0].over.max_m == Approx(1.5));                  // 0.15 + 4.5 - 3.15
    CHECK(reached_by_opening(line, cuts, house, 0.3, 1).empty()); // type B: 0.15 + 3 just fits
    CHECK(reached_by_opening(line, cuts, house, 0.3, 0).empty()); // rock
}

TEST_CASE("setbacks are measured from the trench's edge, whatever is nearest", "[setbacks]")
{
    Site site;
    site.parcel = {box(0, 0, 30, 40)};
    site.right_of_way = {box(0, -8, 30, 0)};
    site.foundations = {box(8, 20, 22, 32)};
    site.wells = {{.id = "W-1", .place = Point{.x_m = 3, .y_m = 10}, .holder = {}, .origin = {}}};
    site.septic = {{.id = "tank", .place = box(18, 8, 20, 10), .holder = {}, .origin = {}}};
    site.easements = {{.id = "E-1", .place = box(0, 4, 30, 7), .holder = "the water district", .origin = {}}};
    RouteRules rules = default_rules().route;
    rules.section.width_m = 0.4;
    rules.restore_width_m = 1;
    rules.wall_exit_length_m = 1;
    rules.setbacks.well.distance_m = 4;
    rules.setbacks.septic.distance_m = 6;
    const Polyline line{{6, -6}, {6, 12}, {10, 20}}; // from the street up to the wall
    const auto checks = setback_checks(site, line, rules);
    const auto find = [&](const std::string& kind) {
        const auto found = std::ranges::find(checks, kind, &SetbackCheck::kind);
        REQUIRE(found != checks.end());
        return *found;
    };
    CHECK(find("well").nearest_m == Approx(3 - 0.2));
    CHECK(find("well").nearest_station_m == Approx(16));
    // within 4 m of the well by any part of the strip: half length sqrt(16 - 2.8^2), cut off at the bend at 18
    REQUIRE(find("well").too_near.size() == 1);
    CHECK(find("well").too_near[0].from_m == Approx(16 - std::sqrt(16 - 2.8 * 2.8)).margin(1e-6));
    CHECK(find("septic").nearest_m == Approx(distance_m(Point{.x_m = 18, .y_m = 10}, line) - 0.2));
    CHECK(find("septic").too_near.empty());
    CHECK(find("easement").nearest_m == 0);
    CHECK(find("lot line").nearest_m == Approx(6 - 0.2)); // the side line x = 0; the street side is no lot line
    CHECK(find("street line").nearest_m == 0);            // crossed, and not by the outlet's end

    const auto street = inside_right_of_way(site, line, 1);
    REQUIRE(street);
    CHECK(street->length_m == Approx(6));
    CHECK(street->opened_m2 == Approx(6));
    const auto easements = inside_easements(site, line, 1);
    REQUIRE(easements.size() == 1);
    CHECK(easements[0].length_m == Approx(3));
    CHECK(easements[0].opened_m2 == Approx(3));
    CHECK(easements[0].holder == "the water district");
    CHECK_FALSE(inside_right_of_way(site, {{6, 2}, {6, 12}}, 1));
}

TEST_CASE("a hard setback is an obstacle to every route, a soft one only what no trench enters", "[setbacks]")
{
    Site site;
    site.wells = {{.id = "W-1", .place = Point{.x_m = 3, .y_m = 10}, .holder = {}, .origin = {}}};
    site.easements = {{.id = "E-1", .place = Point{.x_m = 90, .y_m = 10}, .holder = {}, .origin = {}}};
    RouteRules rules = default_rules().route;
    rules.setbacks.easement.hard = false;
    rules.section.width_m = 0.4;
    rules.setbacks.well = {.distance_m = 4, .hard = false};
    REQUIRE(obstacles(site, rules).size() == 1);
    CHECK(obstacles(site, rules)[0].name == "well W-1");
    CHECK(obstacles(site, rules)[0].clearance_m == Approx(0.2)); // the trench's edge, whatever is asked
    rules.setbacks.well.hard = true;
    const auto all = obstacles(site, rules);
    REQUIRE(all.size() == 1);
    CHECK(all[0].name == "well W-1");
    CHECK(all[0].clearance_m == Approx(4.2)); // the axis keeps half a width more
    CHECK(obstacle_fault({.upper = {7.19, 0}, .lower = {7.19, 20}}, {50, 50}, all, rules));
    CHECK_FALSE(obstacle_fault({.upper = {7.21, 0}, .lower = {7.21, 20}}, {50, 50}, all, rules));
}

TEST_CASE("a tree's circle is entered by the chord the strip cuts from it", "[trees]")
{
    // NC State extension: 1.25 ft per inch of trunk. 12 in: radius 15 ft. Trench 1 ft wide, axis 9.5 ft off: its near
    // edge at 9 ft is inside for 2 sqrt(15^2 - 9^2) = 24 ft.
    Site site;
    site.trees = {{.id = "oak", .at = {50 * ft, 9.5 * ft}, .trunk_diameter_m = 1 * ft, .origin = {}}};
    RouteRules rules = default_rules().route;
    rules.section.width_m = 1 * ft;
    const auto checks = tree_checks(site, {{0, 0}, {100 * ft, 0}}, rules, 5);
    REQUIRE(checks.size() == 1);
    CHECK(checks[0].circle_m == Approx(15 * ft));
    CHECK(checks[0].nearest_m == Approx(9 * ft));
    CHECK(checks[0].inside_m == Approx(24 * ft));
    CHECK(checks[0].station_m == Approx(50 * ft));
    CHECK_FALSE(checks[0].near_hold); // 9 ft is 9 trunk diameters
    CHECK(tree_checks(site, {{0, 0}, {100 * ft, 0}}, rules, 10)[0].near_hold);
    CHECK(tree_checks(site, {{0, -40}, {100 * ft, -40}}, rules, 5).empty());
}
