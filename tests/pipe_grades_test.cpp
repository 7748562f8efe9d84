#include "trenchwright/dig/pipe_grades.hpp"
#include "trenchwright/dig/shallow.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/rules/rules.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

using namespace trenchwright;

namespace {

constexpr double deg = std::numbers::pi / 180;
constexpr double ft = 0.3048;

/// 1 % over 10 m, 30 degrees over the next 10 m, 60 degrees over the last half meter.
std::vector<GradePoint> three_grades()
{
    const double first = 0.1;
    const double second = first + 10 * std::tan(30 * deg);
    return {{0, 0}, {10, first}, {20, second}, {20.5, second + 0.5 * std::tan(60 * deg)}};
}

const Polyline straight{{0, 0}, {0, 20.5}};

TrenchGrades grades(const std::vector<GradePoint>& points, bool pressure, double stick_m)
{
    const auto rules = default_rules();
    return grades_of(points, straight, pressure, stick_m, rules.route, rules.steep);
}

} // namespace

TEST_CASE("a change of grade beyond the joints is a vertical bend of the nearest fittings", "[grades]")
{
    const auto found = grades(three_grades(), false, 3);
    REQUIRE(found.bends.size() == 2);
    const double first = 30 - std::atan(0.01) / deg; // 29.43 degrees: 11.25 + 22.5 are 33.75, 4.32 off
    CHECK(found.bends[0].bend.angle_rad / deg == Approx(first).margin(1e-9));
    REQUIRE(found.bends[0].bend.fitting_angles_rad.size() == 2);
    CHECK((found.bends[0].bend.fitting_angles_rad[0] + found.bends[0].bend.fitting_angles_rad[1]) / deg ==
          Approx(33.75));
    CHECK(found.bends[0].bend.deflection_rad / deg == Approx(33.75 - first));
    CHECK(found.bends[0].bend.price == 32 + 30); // fittings.price_11 and price_22
    CHECK(found.bends[0].bend.station_m == 10);
    CHECK(found.bends[0].bend.at.y_m == Approx(10));
    CHECK(found.bends[0].steeper_upstream);
    CHECK(found.bends[1].bend.angle_rad / deg == Approx(30));
}

TEST_CASE("what the joints take is no vertical bend, whichever way the grade changes", "[grades]")
{
    const double limit_rad = default_rules().route.max_deflection_rad;
    for (const double turn_rad : {limit_rad - 1e-4, limit_rad + 1e-4}) {
        const double steep = 10 * std::tan(std::atan(0.01) + turn_rad);
        const auto up = grades({{0, 0}, {10, 0.1}, {20, 0.1 + steep}}, false, 3);
        const auto down = grades({{0, 0}, {10, steep}, {20, steep + 0.1}}, false, 3);
        CHECK(up.bends.size() == (turn_rad > limit_rad ? 1 : 0));
        CHECK(down.bends.size() == up.bends.size());
        if (!down.bends.empty()) {
            CHECK_FALSE(down.bends[0].steeper_upstream);
        }
    }
}

TEST_CASE("pipe steeper than 45 degrees is a drop, and no fittings make a turn of 157 degrees", "[grades]")
{
    const auto found = grades(three_grades(), false, 3);
    REQUIRE(found.drops.size() == 1);
    CHECK(found.drops[0].span == Interval{20, 20.5});
    CHECK(found.drops[0].height_m == Approx(0.5 * std::sqrt(3.0)));
    const auto pump = grades({{0, 0}, {1, -5}, {2, 0}}, true, 3); // twice the arc tangent of 5
    REQUIRE(pump.bends.size() == 1);
    CHECK_FALSE(pump.bends[0].buildable);
    CHECK(pump.bends[0].bend.angle_rad == Approx(2 * std::atan(5.0)));
}

TEST_CASE("steep pipe is anchored at the spacing of its fall, counted along the pipe", "[grades]")
{
    // 30 degrees are 57.7 %: 16 ft at the most. 10 m in plan are 11.547 m of pipe, 37.88 ft: three.
    const auto found = grades(three_grades(), false, 3);
    REQUIRE(found.anchored.size() == 1);
    CHECK(found.anchored[0].span == Interval{10, 20});
    CHECK(found.anchored[0].spacing_m == Approx(16 * ft));
    CHECK(found.anchored[0].anchors == 3);
    CHECK(grades(three_grades(), true, 3).anchored.empty());
    CHECK(grades(three_grades(), false, 12).anchored.empty()); // shorter than a stick

    const auto by_fall = [&](double fall) { return grades({{0, 0}, {20, 20 * fall}}, false, 3).anchored; };
    CHECK(by_fall(0.199).empty());
    REQUIRE(by_fall(0.2).size() == 1);
    CHECK(by_fall(0.2)[0].spacing_m == Approx(36 * ft)); // 20.4 m, 66.9 ft: two
    CHECK(by_fall(0.2)[0].anchors == 2);
    CHECK(by_fall(0.36)[0].spacing_m == Approx(24 * ft)); // 21.3 m, 69.7 ft: three
    CHECK(by_fall(0.36)[0].anchors == 3);
}

TEST_CASE("the stretch under less than the cover wanted is exact", "[grades]")
{
    auto rules = default_rules().route;
    rules.surfaces.at("lawn").min_cover_m = 0.15;
    ProfileProblem problem;
    problem.ground = {{0, 100}, {10, 100}};
    problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.05};
    problem.min_cover_m = {{{0, 10}, 0.0}};
    problem.dig_cost_per_m3 = {{{0, 10}, 80}};
    problem.lowest_outlet_invert_elev_m = 99;
    problem.highest_outlet_invert_elev_m = 100;
    problem.highest_source_invert_elev_m = 100;
    problem.min_fall_ratio = 0.001;
    problem.deepest_cut_m = 2;
    problem.stick_length_m = 3;
    // Cover from 0.25 at the outlet to 0.05 at the source: 0.15 at half-way, half a millimeter being no lack.
    const auto invert_m = [](double cover_m) { return 100 - cover_m - 0.11 + 0.003; };
    Profile profile;
    profile.points = {{0, invert_m(0.25)}, {10, invert_m(0.05)}};
    const Polyline line{{0, 0}, {10, 0}};
    const SurfaceSpans surfaces{{{0, 10}, "lawn"}};
    Outlet popup;
    popup.kind = OutletKind::popup;
    popup.place = Point{0, 0};
    const auto found = shallow_stretches(surfaces, line, popup, problem, profile, rules);
    REQUIRE(found.size() == 1);
    CHECK(found[0].span.from_m == Approx(5 + 0.0005 / 0.02));
    CHECK(found[0].span.to_m == Approx(10));
    CHECK(found[0].min_cover_m == Approx(0.05));
    CHECK(found[0].min_station_m == Approx(10));
    CHECK(found[0].kind == "lawn");
    profile.points[1].invert_elev_m = invert_m(0.15);
    CHECK(shallow_stretches(surfaces, line, popup, problem, profile, rules).empty());
}

TEST_CASE("a lower cover stands in for the one wanted only where the kind has one", "[grades]")
{
    const auto rules = default_rules().route;
    CHECK(lowest_cover_saves_m(rules) == Approx(2 * 0.0254)); // lawn: 6 in wanted, 4 in at the least
    const auto lowest = with_lowest_cover(rules);
    CHECK(lowest.surfaces.at("lawn").min_cover_m == Approx(4 * 0.0254));
    CHECK(lowest.surfaces.at("driveway").min_cover_m == Approx(18 * 0.0254));
    const auto classed = classed_stretches({{{0, 5}, "lawn"}, {{5, 8}, "driveway"}}, rules);
    REQUIRE(classed.size() == 1);
    CHECK(classed[0].span == Interval{5, 8});
    CHECK(classed[0].pipe_class == "SDR 35 or Schedule 40");
}

TEST_CASE("below a reducer the pipe is the smaller one, whatever is asked of it", "[grades]")
{
    TrenchPlan trench;
    trench.laid.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.110, .wall_m = 0.004, .bedding_m = 0.1};
    CHECK(section_at(trench, 0) == trench.laid.problem.section);
    CHECK(reduced_cover_m(trench, 0) == 0);
    trench.laid.reduced = ReducedEnd{.length_m = 2, .pipe = "small", .outside_diameter_m = 0.080, .wall_m = 0.003};
    // With the same invert the top lies at 110 - 4 = 106 mm over it, or at 80 - 3 = 77 mm.
    CHECK(section_at(trench, 1.9).outside_diameter_m == 0.080);
    CHECK(section_at(trench, 1.9).width_m == 0.3);
    CHECK(reduced_cover_m(trench, 1.9) == Approx(0.106 - 0.077));
    CHECK(section_at(trench, 2).outside_diameter_m == 0.110);
    CHECK(reduced_cover_m(trench, 2) == 0);
}
