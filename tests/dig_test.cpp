#include "profile_problems.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/geom/measure.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <functional>
#include <limits>
#include <numbers>
#include <set>
#include <string>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();
constexpr double degree = std::numbers::pi / 180;

/// A trench along the x axis, as cut, with a pipe on a fall so small that ground and pipe are level.
struct Trench {
    ProfileProblem problem;
    Profile profile;
    Polyline line;
    RouteRules rules;
    Site site;
    SoilRules soil;
    std::vector<HandDigZone> zones;

    Quantities measured() { return measure(site, line, problem, profile, zones, rules, soil); }
};

/// Cut depths at the outlet and at the source; the pipe lies level but for a thousandth of a millimeter.
Trench cut_trench(double length_m, double width_m, double cut_from_m, double cut_to_m)
{
    Trench trench;
    trench.problem = problem_over({{0, cut_from_m}, {length_m, cut_to_m}});
    trench.problem.section = {.width_m = width_m, .outside_diameter_m = 1e-6, .wall_m = 0, .bedding_m = 0};
    trench.profile.points = {{0, 0}, {length_m, 0}};
    trench.line = {{0, 0}, {length_m, 0}};
    trench.rules.section = trench.problem.section;
    trench.rules.default_surface = "lawn";
    return trench;
}

Mark mark_of(Polyline line)
{
    Mark mark;
    mark.line = std::move(line);
    return mark;
}

/// How far the slice of a 0.4 m wide trench at a station lies inside a mark's reach; below 0 outside.
double mark_margin(const Trench& trench, std::size_t mark, double station)
{
    const Polyline slice{{station, -0.2}, {station, 0.2}};
    const auto& m = trench.site.marks[mark];
    return trench.rules.tolerance_m + m.position_accuracy_m.value_or(0) - distance_m(slice, m.line);
}

/// The same for the nearest of all marks and tree circles.
double margin_at(const Trench& trench, double station)
{
    const Polyline slice{{station, -0.2}, {station, 0.2}};
    double margin = -1e9;
    for (std::size_t m = 0; m < trench.site.marks.size(); ++m) {
        margin = std::max(margin, mark_margin(trench, m, station));
    }
    for (const auto& tree : trench.site.trees) {
        margin = std::max(margin, 12 * tree.trunk_diameter_m - distance_m(tree.at, slice));
    }
    return margin;
}

} // namespace

TEST_CASE("trench volumes agree with the handbook's table", "[dig]")
{
    // docs/sources.md, V1 to V5: yd3 per 100 ft, vertical sides, widths and depths as listed.
    constexpr std::array<double, 7> depths_ft{1, 1.5, 2, 2.5, 3, 4, 5};
    constexpr std::array<double, 5> widths_in{6, 8, 12, 18, 24};
    constexpr std::array<std::array<double, 7>, 5> table{{{1.85, 2.78, 3.70, 4.63, 5.56, 7.41, 9.26},
                                                          {2.47, 3.70, 4.94, 6.17, 7.41, 9.88, 12.35},
                                                          {3.70, 5.56, 7.41, 9.26, 11.11, 14.81, 18.52},
                                                          {5.56, 8.33, 11.11, 13.89, 16.67, 22.22, 27.78},
                                                          {7.41, 11.11, 14.81, 18.52, 22.22, 29.63, 37.04}}};
    for (std::size_t w = 0; w < widths_in.size(); ++w) {
        for (std::size_t d = 0; d < depths_ft.size(); ++d) {
            const double cut = depths_ft[d] * ft_in_m;
            const auto trench = cut_trench(100 * ft_in_m, widths_in[w] * inch_in_m, cut, cut);
            const double volume = trench_volume_m3(trench.problem, trench.profile, {0, 100 * ft_in_m});
            CHECK(volume / cubic_yd_in_m3 == Approx(table[w][d]).margin(0.0051));
        }
    }
}

TEST_CASE("trench volumes agree with end areas and prismoid", "[dig]")
{
    const double cubic_ft = ft_in_m * ft_in_m * ft_in_m;
    const auto volume_ft3 = [&](double length_ft, double width_ft, double from_ft, double to_ft) {
        const auto trench = cut_trench(length_ft * ft_in_m, width_ft * ft_in_m, from_ft * ft_in_m, to_ft * ft_in_m);
        return trench_volume_m3(trench.problem, trench.profile, {0, length_ft * ft_in_m}) / cubic_ft;
    };
    // docs/sources.md, E8: 1 ft wide, 1 to 3 ft deep in 100 ft. E4: without side slope both rules agree.
    CHECK(volume_ft3(100, 1, 1, 3) == Approx(200).epsilon(1e-12));
    CHECK(volume_ft3(100, 1, 1, 3) / 27 == Approx(7.407).margin(1e-3)); // E11
    CHECK(volume_ft3(100, 10, 5, 7) == Approx(6000).epsilon(1e-12));    // E6
    CHECK(volume_ft3(50, 10, 5, 15) == Approx(5000).epsilon(1e-12));    // E7
    CHECK(cubic_yd_in_m3 / cubic_ft == Approx(27).epsilon(1e-15));      // E11
}

TEST_CASE("trench volume is the sum of its slices", "[dig]")
{
    std::mt19937_64 dice(31);
    for (int i = 0; i < 40; ++i) {
        const auto problem = random_problem(dice);
        const double length = problem.ground.back().station_m;
        Profile profile;
        profile.points = {{0, 98.9}, {length * uniform(dice, 0.2, 0.8), 99.1}, {length, 99.3}};
        const double from = uniform(dice, 0, length / 2);
        const double to = uniform(dice, length / 2, length);
        constexpr int slices = 20000;
        double sum = 0;
        for (int k = 0; k < slices; ++k) {
            const double at = from + (to - from) * (k + 0.5) / slices;
            sum += ground_at_m(problem.ground, at) - invert_at_m(profile.points, at);
        }
        const auto& s = problem.section;
        const double expected = s.width_m * (to - from) * (sum / slices + s.wall_m + s.bedding_m);
        CHECK(trench_volume_m3(problem, profile, {from, to}) == Approx(expected).epsilon(1e-6));
        const double cost_free = trench_volume_m3(problem, profile, {0, from}) +
                                 trench_volume_m3(problem, profile, {from, to}) +
                                 trench_volume_m3(problem, profile, {to, length});
        CHECK(trench_volume_m3(problem, profile, {0, length}) == Approx(cost_free).epsilon(1e-12));
    }
    const auto trench = cut_trench(10, 0.3, 1, 1);
    CHECK_THROWS_AS(trench_volume_m3(trench.problem, trench.profile, {0, 11}), Error);
    CHECK_THROWS_AS(trench_volume_m3(trench.problem, trench.profile, {5, 4}), Error);
    CHECK_THROWS_AS(trench_volume_m3(trench.problem, trench.profile, {no_number, 4}), Error);
    CHECK_THROWS_AS(trench_volume_m3(trench.problem, trench.profile, {0, no_number}), Error);
}

TEST_CASE("cut depths run as the levels say", "[dig]")
{
    // docs/sources.md, Z12: ground level at 100.00, invert 96.00 at the outlet, 1 % upstream, 85.5 ft long.
    const double length = 85.5 * ft_in_m;
    auto trench = cut_trench(length, 0.3, 1, 1);
    trench.problem.ground = {{0, 100 * ft_in_m}, {length, 100 * ft_in_m}};
    trench.profile.points = {{0, 96 * ft_in_m}, {length, (96 + 0.855) * ft_in_m}};
    const auto q = trench.measured();
    CHECK(q.max_cut_m / ft_in_m == Approx(4).margin(1e-9));
    CHECK(q.min_cut_m / ft_in_m == Approx(3.145).margin(1e-9));
    CHECK(q.mean_cut_m / ft_in_m == Approx(3.5725).margin(1e-9));
    CHECK(q.max_cut_station_m == 0);
    CHECK(q.pipe_length_m == Approx(length * std::sqrt(1 + 1e-4)).epsilon(1e-12));
}

TEST_CASE("pipe volumes follow the outside diameters", "[dig]")
{
    // docs/sources.md, O12 to O17: ft3 per 100 ft.
    constexpr std::array<std::array<double, 2>, 6> table{
        {{3.250, 5.761}, {4.215, 9.690}, {6.275, 21.476}, {3.500, 6.681}, {4.500, 11.045}, {6.625, 23.939}}};
    for (const auto& [diameter_in, volume_ft3] : table) {
        auto trench = cut_trench(100 * ft_in_m, 12 * inch_in_m, ft_in_m, ft_in_m);
        trench.problem.section.outside_diameter_m = diameter_in * inch_in_m;
        CHECK(trench.measured().pipe_m3 / std::pow(ft_in_m, 3) == Approx(volume_ft3).margin(0.001));
    }
    // docs/sources.md, K6: 12 x 12 in around a pipe of 4.215 in leaves 90.31 ft3 in 100 ft.
    auto trench = cut_trench(100 * ft_in_m, 12 * inch_in_m, ft_in_m, ft_in_m);
    trench.problem.section.outside_diameter_m = 4.215 * inch_in_m;
    CHECK(trench.measured().backfill_m3 / std::pow(ft_in_m, 3) == Approx(90.31).margin(0.02));
}

TEST_CASE("spoil swells on the way out and shrinks on the way back", "[dig]")
{
    // docs/sources.md, W1: 200 x 20 x 2 ft with 40 % swell is 296.30 yd3 in place and 414.81 loose, if nothing goes
    // back: the trench is filled with bedding here.
    auto filled = cut_trench(200 * ft_in_m, 20 * ft_in_m, 0, 0);
    filled.problem.section.bedding_m = 2 * ft_in_m;
    filled.problem.section.outside_diameter_m = 1e-9;
    filled.profile.points = {{0, -1e-6}, {200 * ft_in_m, -1e-6}};
    filled.soil = {.swell_ratio = 0.4, .shrink_ratio = 0};
    const auto q = filled.measured();
    CHECK(q.machine_cut_m3 / cubic_yd_in_m3 == Approx(296.30).margin(0.01));
    CHECK(q.haul_loose_m3 / cubic_yd_in_m3 == Approx(414.81).margin(0.01));

    // docs/sources.md, W4: with 12 % shrink 100 yd3 of fill take 113.6 in place; 25 % swell. Cut 200 yd3: half bedding,
    // half fill.
    auto half = cut_trench(100, 1, 0, 0);
    const double depth = 200 * cubic_yd_in_m3 / 100;
    half.problem.section.outside_diameter_m = 1e-9;
    half.problem.section.bedding_m = depth / 2;
    half.profile.points = {{0, -depth / 2}, {100, -depth / 2}};
    half.soil = {.swell_ratio = 0.25, .shrink_ratio = 0.12};
    const auto r = half.measured();
    CHECK(r.backfill_m3 / cubic_yd_in_m3 == Approx(100).epsilon(1e-9));
    CHECK(r.haul_loose_m3 / cubic_yd_in_m3 == Approx((200 - 113.6) * 1.25).margin(0.1));

    // Where the refill takes more than was dug, nothing is hauled.
    half.problem.section.bedding_m = 0.01;
    half.profile.points = {{0, -depth}, {100, -depth}};
    CHECK(half.measured().haul_loose_m3 == 0);
}

TEST_CASE("hand-dig lengths agree with the trade's figures", "[dig]")
{
    // docs/sources.md, J1: width unknown, trench 12 in; tolerance 18, 24 and 48 in; 90, 45 and 30 degrees.
    constexpr std::array<double, 3> tolerances_in{18, 24, 48};
    constexpr std::array<double, 3> angles_deg{90, 45, 30};
    constexpr std::array<std::array<double, 3>, 3> table_ft{{{3.0, 5.2, 7.7}, {4.0, 6.7, 9.7}, {8.0, 12.3, 17.7}}};
    for (std::size_t t = 0; t < 3; ++t) {
        for (std::size_t a = 0; a < 3; ++a) {
            const double length =
                hand_dig_length_m(0, tolerances_in[t] * inch_in_m, 12 * inch_in_m, angles_deg[a] * degree);
            CHECK(length / ft_in_m == Approx(table_ft[t][a]).margin(0.05));
        }
    }
    for (const double angle : {0.0, -0.1, 1.6, no_number}) {
        CHECK_THROWS_AS(hand_dig_length_m(0.1, 0.45, 0.3, angle), Error);
    }
    CHECK_THROWS_AS(hand_dig_length_m(no_number, 0.45, 0.3, 1), Error);
    CHECK_THROWS_AS(hand_dig_length_m(0, no_number, 0.3, 1), Error);
    CHECK_THROWS_AS(hand_dig_length_m(0, 0.45, -1, 1), Error);
}

TEST_CASE("a long straight mark asks for exactly the formula's length", "[dig]")
{
    auto trench = cut_trench(40, 0.3, 1, 2);
    trench.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.05};
    trench.rules.section = trench.problem.section;
    trench.rules.tolerance_m = 0.45;
    for (const double angle_deg : {90.0, 75.0, 45.0, 30.0, 20.0}) {
        const double angle = angle_deg * degree;
        auto mark = mark_of(
            {{20 - 50 * std::cos(angle), -50 * std::sin(angle)}, {20 + 50 * std::cos(angle), 50 * std::sin(angle)}});
        mark.width_m = 0.1;
        mark.position_accuracy_m = 0.2;
        trench.site.marks = {mark};
        const auto met = crossings_along(trench.site, trench.line, trench.problem, trench.profile, trench.rules);
        REQUIRE(met.size() == 1);
        CHECK(met[0].station_m == Approx(20).margin(1e-9));
        CHECK(met[0].angle_rad == Approx(angle).margin(1e-12));
        // Facility width 0.1, tolerance 0.45 and accuracy 0.2 each side.
        const double expected = (0.1 + 2 * 0.65) / std::sin(angle) + 0.3 / std::tan(angle);
        CHECK(met[0].formula_length_m == Approx(expected).epsilon(1e-12));
        CHECK(met[0].hand_span.to_m - met[0].hand_span.from_m == Approx(expected).epsilon(1e-9));
        CHECK(met[0].hand_span.from_m + met[0].hand_span.to_m == Approx(40).epsilon(1e-9));
        const auto zones = hand_dig_zones(trench.site, trench.line, trench.rules);
        REQUIRE(zones.size() == 1);
        CHECK(zones[0].span == met[0].hand_span);
    }
}

TEST_CASE("a crossing's depth stays unknown unless it was exposed", "[dig]")
{
    auto trench = cut_trench(10, 0.3, 1, 2);
    trench.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.05};
    auto exposed = mark_of({{6, -1}, {6, 1}});
    exposed.exposed_depth_m = 0.7;
    exposed.quality = QualityLevel::a;
    trench.site.marks = {exposed, mark_of({{2, -1}, {2, 1}}), mark_of({{0, 5}, {10, 5}})};
    const auto met = crossings_along(trench.site, trench.line, trench.problem, trench.profile, trench.rules);
    REQUIRE(met.size() == 2);
    CHECK(met[0].mark == 1);
    CHECK_FALSE(met[0].facility_top_elev_m);
    CHECK(met[1].mark == 0);
    CHECK(met[1].ground_elev_m == Approx(1.6).epsilon(1e-12));
    CHECK(met[1].facility_top_elev_m.value() == Approx(0.9).epsilon(1e-12));
    CHECK(met[1].trench_bottom_elev_m == Approx(-0.053).epsilon(1e-12));
    CHECK(met[1].pipe_top_elev_m == Approx(0.107).epsilon(1e-12));
}

TEST_CASE("hand-dig zones are the stations from which the trench comes within reach", "[dig]")
{
    std::mt19937_64 dice(12);
    for (int i = 0; i < 60; ++i) {
        auto trench = cut_trench(20, 0.4, 1, 1);
        trench.rules.tolerance_m = uniform(dice, 0.2, 1.2);
        trench.rules.tree_factor = 12;
        const auto point = [&] { return Point{uniform(dice, -2, 22), uniform(dice, -4, 4)}; };
        for (int k = whole(dice, 0, 3); k > 0; --k) {
            auto mark = mark_of({point(), point(), point()});
            mark.position_accuracy_m = uniform(dice, 0, 0.3);
            trench.site.marks.push_back(mark);
        }
        for (int k = whole(dice, 0, 2); k > 0; --k) {
            Tree tree;
            tree.at = point();
            tree.trunk_diameter_m = uniform(dice, 0.05, 0.3);
            trench.site.trees.push_back(tree);
        }
        const auto zones = hand_dig_zones(trench.site, trench.line, trench.rules);
        for (std::size_t z = 1; z < zones.size(); ++z) {
            CHECK(zones[z].span.from_m > zones[z - 1].span.to_m);
        }
        for (int k = 0; k <= 997; ++k) {
            const double at = 20.0 * k / 997;
            const double margin = margin_at(trench, at);
            std::vector<std::size_t> marks;
            for (std::size_t m = 0; m < trench.site.marks.size(); ++m) {
                if (mark_margin(trench, m, at) > 1e-6) {
                    marks.push_back(m);
                }
            }
            const auto zone = std::find_if(zones.begin(), zones.end(), [&](const auto& candidate) {
                return candidate.span.from_m <= at && at <= candidate.span.to_m;
            });
            INFO("yard " << i << " station " << at << " margin " << margin);
            if (margin > 1e-6) {
                REQUIRE(zone != zones.end()); // never by machine within reach
            }
            if (margin < -1e-6 && zone != zones.end()) {
                // Zones are rounded out by less than a trench width: near here something is within reach, or the
                // zone is only as long as the trench is wide.
                const bool short_zone = zone->span.to_m - zone->span.from_m <= 0.4 + 1e-9;
                bool reach_near = short_zone;
                for (double off = -0.4; off <= 0.4 && !reach_near; off += 0.01) {
                    reach_near = margin_at(trench, std::clamp(at + off, 0.0, 20.0)) > -1e-6;
                }
                REQUIRE(reach_near);
            }
            for (const std::size_t m : marks) {
                REQUIRE(std::find(zone->marks.begin(), zone->marks.end(), m) != zone->marks.end());
            }
        }
    }
}

TEST_CASE("stretches that touch become one zone that names all its marks and trees", "[dig]")
{
    auto trench = cut_trench(20, 0.3, 1, 1);
    trench.rules.tolerance_m = 0.5;
    trench.rules.tree_factor = 10;
    Tree tree;
    tree.at = {15, 3};
    tree.trunk_diameter_m = 0.5;
    trench.site.marks = {mark_of({{4.8, -1}, {4.8, 1}}), mark_of({{12, -1}, {12, 1}}), mark_of({{4, -1}, {4, 1}})};
    trench.site.trees = {tree};
    const auto zones = hand_dig_zones(trench.site, trench.line, trench.rules);
    REQUIRE(zones.size() == 2);
    CHECK(zones[0].span.from_m == Approx(3.5));
    CHECK(zones[0].span.to_m == Approx(5.3));
    CHECK(zones[0].marks == std::vector<std::size_t>{0, 2});
    CHECK(zones[0].trees.empty());
    // The circle of 5 m about (15, 3) meets the trench's near edge at y = 0.15: half chord sqrt(25 - 2.85^2).
    const double half = std::sqrt(25 - 2.85 * 2.85);
    CHECK(zones[1].span.from_m == Approx(15 - half).epsilon(1e-12));
    CHECK(zones[1].span.to_m == Approx(15 + half).epsilon(1e-12));
    CHECK(zones[1].marks == std::vector<std::size_t>{1});
    CHECK(zones[1].trees == std::vector<std::size_t>{0});

    auto fails = [&](const std::function<void(Trench&)>& spoil) {
        auto spoilt = trench;
        spoil(spoilt);
        CHECK_THROWS_AS(hand_dig_zones(spoilt.site, spoilt.line, spoilt.rules), Error);
    };
    fails([](auto& t) { t.rules.tolerance_m = no_number; });
    fails([](auto& t) { t.rules.section.width_m = no_number; });
    fails([](auto& t) { t.rules.tree_factor = no_number; });
    fails([](auto& t) { t.site.marks[0].width_m = no_number; });
    fails([](auto& t) { t.site.marks[0].position_accuracy_m = no_number; });
    fails([](auto& t) { t.site.trees[0].trunk_diameter_m = no_number; });
}

TEST_CASE("machine and hand share the trench without rest", "[dig]")
{
    auto trench = cut_trench(20, 0.5, 1, 3);
    trench.rules.tolerance_m = 0.5;
    trench.rules.restore_width_m = 0.8;
    trench.site.marks = {mark_of({{5, -1}, {5, 1}}), mark_of({{12, -1}, {12, 1}})};
    SurfacePatch walk;
    walk.kind = "sidewalk";
    walk.area.outer = {{8, -1}, {10, -1}, {10, 1}, {8, 1}};
    trench.site.surfaces = {walk};
    trench.zones = hand_dig_zones(trench.site, trench.line, trench.rules);
    const auto q = trench.measured();
    // Cut at station s is 1 + s/10; zones 4.5 to 5.5 and 11.5 to 12.5: mean cuts 1.5 and 2.2.
    REQUIRE(trench.zones.size() == 2);
    CHECK(trench.zones[0].volume_m3 == Approx(0.5 * 1.5));
    CHECK(trench.zones[1].volume_m3 == Approx(0.5 * 2.2));
    CHECK(q.hand_length_m == Approx(2));
    CHECK(q.machine_length_m == Approx(18));
    CHECK(q.hand_cut_m3 == Approx(0.5 * 3.7));
    CHECK(q.machine_cut_m3 == Approx(0.5 * (40 - 3.7)));
    CHECK(q.restore_m2.at("sidewalk") == Approx(2 * 0.8));
    CHECK(q.restore_m2.at("lawn") == Approx(18 * 0.8));
}

TEST_CASE("stationing from the other end changes no length and no volume", "[dig]")
{
    // docs/sources.md, Q8 and Q9. The pipe falls the other way then, which measuring does not mind.
    std::mt19937_64 dice(8);
    for (int i = 0; i < 30; ++i) {
        auto trench = cut_trench(20, 0.4, 1, 2);
        trench.rules.tolerance_m = 0.5;
        trench.rules.restore_width_m = 0.8;
        trench.problem.ground = {{0, 1}, {uniform(dice, 1, 19), uniform(dice, 1, 2)}, {20, 2}};
        trench.profile.points = {{0, 0}, {uniform(dice, 1, 19), 0.1}, {20, 0.4}};
        for (int k = 0; k < 3; ++k) {
            trench.site.marks.push_back(mark_of({{uniform(dice, 0, 20), -3}, {uniform(dice, 0, 20), 3}}));
        }
        auto reversed = trench;
        std::reverse(reversed.line.begin(), reversed.line.end());
        std::reverse(reversed.problem.ground.begin(), reversed.problem.ground.end());
        std::reverse(reversed.profile.points.begin(), reversed.profile.points.end());
        for (auto& p : reversed.problem.ground) {
            p.station_m = 20 - p.station_m;
        }
        for (auto& p : reversed.profile.points) {
            p.station_m = 20 - p.station_m;
        }
        for (auto* t : {&trench, &reversed}) {
            t->zones = hand_dig_zones(t->site, t->line, t->rules);
        }
        const auto a = trench.measured();
        const auto b = reversed.measured();
        CHECK(b.hand_length_m == Approx(a.hand_length_m).margin(1e-9));
        CHECK(b.hand_cut_m3 == Approx(a.hand_cut_m3).margin(1e-9));
        CHECK(b.machine_cut_m3 == Approx(a.machine_cut_m3).margin(1e-9));
        CHECK(b.pipe_length_m == Approx(a.pipe_length_m).margin(1e-9));
        CHECK(b.max_cut_m == Approx(a.max_cut_m).margin(1e-9));
        CHECK(b.min_cut_m == Approx(a.min_cut_m).margin(1e-9));
        const double at = uniform(dice, 0, 20);
        CHECK(invert_at_m(reversed.profile.points, 20 - at) ==
              Approx(invert_at_m(trench.profile.points, at)).margin(1e-9));
    }
}

TEST_CASE("no two rows of the depth table are printed with the same station", "[dig]")
{
    auto trench = cut_trench(10, 0.3, 1, 2);
    trench.profile.points = {{0, 0}, {4, 0.08}, {10, 0.2}};
    const std::vector<HandDigZone> zones{{.span = {4.003, 5.998}, .marks = {0}, .trees = {}, .volume_m3 = 0}};
    const auto rows = depths(trench.problem, trench.profile, zones, {2.002, 4.001, 9.997}, 2);
    for (const auto units : {UnitSystem::us, UnitSystem::metric}) {
        std::set<std::string> printed;
        for (const auto& row : rows) {
            printed.insert(station_text(row.station_m, units));
        }
        CHECK(printed.size() == rows.size());
    }
    CHECK(rows.front().station_m == 0);
    CHECK(rows.back().station_m == 10); // ends stay what they are
}

TEST_CASE("the depth table has every station once, rising, with zones' ends by hand", "[dig]")
{
    auto trench = cut_trench(10, 0.3, 1, 2);
    trench.problem.bend_stations_m = {4, 7.25};
    trench.profile.points = {{0, 0}, {4, 0.08}, {10, 0.14}};
    const std::vector<HandDigZone> zones{{.span = {5.5, 6.5}, .marks = {0}, .trees = {}, .volume_m3 = 0}};
    const auto rows = depths(trench.problem, trench.profile, zones, {6.1, 4.0000000001}, 2);
    std::vector<double> stations;
    std::vector<bool> by_hand;
    for (const auto& row : rows) {
        stations.push_back(row.station_m);
        by_hand.push_back(row.by_hand);
    }
    CHECK(stations == std::vector<double>{0, 2, 4, 5.5, 6, 6.1, 6.5, 7.25, 8, 10});
    CHECK(by_hand == std::vector<bool>{false, false, false, true, true, true, true, false, false, false});
    CHECK(rows[2].fall_ratio == Approx(0.02));
    CHECK(rows[3].fall_ratio == Approx(0.01));
    CHECK(rows[0].fall_ratio == Approx(0.02)); // at the outlet: of the pipe that starts there
    CHECK(rows[2].cut_m == Approx(1.4 - 0.08));
    CHECK(rows[2].cover_m == Approx(1.4 - 0.08).margin(1e-5));
    for (const double step : {0.0, -1.0, no_number}) {
        CHECK_THROWS_AS(depths(trench.problem, trench.profile, zones, {}, step), Error);
    }
    CHECK_THROWS_AS(depths(trench.problem, trench.profile, zones, {11}, 2), Error);
    CHECK_THROWS_AS(depths(trench.problem, trench.profile, zones, {no_number}, 2), Error);
    CHECK_THROWS_AS(depths(trench.problem, Profile{}, zones, {}, 2), Error);
}

TEST_CASE("quantities refuse soil and widths out of range", "[dig]")
{
    const auto fails = [](const std::function<void(Trench&)>& spoil) {
        auto trench = cut_trench(10, 0.3, 1, 1);
        CHECK_NOTHROW(trench.measured());
        spoil(trench);
        CHECK_THROWS_AS(trench.measured(), Error);
    };
    fails([](auto& t) { t.soil.swell_ratio = no_number; });
    fails([](auto& t) { t.soil.swell_ratio = -0.1; });
    fails([](auto& t) { t.soil.shrink_ratio = no_number; });
    fails([](auto& t) { t.soil.shrink_ratio = 1; });
    fails([](auto& t) { t.rules.restore_width_m = no_number; });
    fails([](auto& t) { t.profile.points.clear(); });
    fails([](auto& t) { t.profile.points[1].invert_elev_m = no_number; });
    fails([](auto& t) { t.problem.section.outside_diameter_m = 2; }); // does not fit the trench
}
