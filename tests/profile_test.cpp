#include "profile_problems.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/profile.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <limits>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

/// What the cover of 0.3 m, the diameter and the wall of problem_over take off the ground.
constexpr double below_ground_m = 0.3 + 0.11 - 0.003;

Profile laid(const ProfileProblem& problem)
{
    const auto outcome = lay_profile(problem);
    REQUIRE(std::holds_alternative<Profile>(outcome));
    return std::get<Profile>(outcome);
}

Refusal refused(const ProfileProblem& problem)
{
    const auto outcome = lay_profile(problem);
    REQUIRE(std::holds_alternative<Refusal>(outcome));
    return std::get<Refusal>(outcome);
}

/// Level ground at 100 whose least-fall line from the outlet just reaches the cover at the source, plus a margin.
ProfileProblem just_drains(double spare_m)
{
    auto problem = problem_over({{0, 100}, {12.5, 100}, {40, 100}});
    problem.lowest_outlet_invert_elev_m = 100 - below_ground_m - 0.01 * 40 - spare_m;
    return problem;
}

} // namespace

TEST_CASE("over ground that rises faster than the minimum fall the pipe keeps its cover all along", "[profile]")
{
    const auto profile = laid(problem_over({{0, 100}, {10, 100.3}, {30, 100.9}}));
    REQUIRE(profile.points.size() == 2);
    // Inverts are laid in steps of 1 mm from the least-fall line and never above the limit.
    CHECK(profile.points[0].invert_elev_m == Approx(100 - below_ground_m).margin(1.001e-3));
    CHECK(profile.points[1].invert_elev_m == Approx(100.9 - below_ground_m).margin(1.001e-3));
    CHECK(profile.points[0].invert_elev_m <= 100 - below_ground_m + 1e-9);
}

TEST_CASE("under level ground the pipe lies on the minimum fall through the shallowest source", "[profile]")
{
    const auto profile = laid(problem_over({{0, 100}, {40, 100}}));
    REQUIRE(profile.points.size() == 2);
    CHECK(profile.points[1].invert_elev_m == Approx(100 - below_ground_m).margin(1.001e-3));
    CHECK(profile.points[1].invert_elev_m - profile.points[0].invert_elev_m == Approx(0.4).margin(1e-12));
    // Lowest outlet invert 98.8; the line from it has 1.2 - 0.407 - 0.4 to spare at the source.
    CHECK(profile.min_spare_m == Approx(0.393).margin(1e-12));
    CHECK(profile.min_spare_station_m == 40);
}

TEST_CASE("a line that only just drains is laid", "[profile]")
{
    const auto profile = laid(just_drains(0));
    CHECK(profile.min_spare_m == Approx(0).margin(1e-9));
    CHECK(profile.min_spare_station_m == 40);
    CHECK(profile.points.front().invert_elev_m == Approx(100 - below_ground_m - 0.4).margin(1e-9));
}

TEST_CASE("a line that misses its fall by a millimetre is refused with that millimetre", "[profile]")
{
    const auto refusal = refused(just_drains(-0.001));
    CHECK(refusal.kind == RefusalKind::falls_short);
    CHECK(refusal.station_m.value() == 40);
    CHECK(refusal.short_by_m.value() == Approx(0.001).margin(1e-9));
    CHECK(refusal.text.empty());
}

TEST_CASE("a dip in the ground decides the fall and is named", "[profile]")
{
    // Least-fall line from 98.8 at station 20: 99.0; the dip allows 99.2 - 0.407 = 98.793: short by 0.207.
    const auto refusal = refused(problem_over({{0, 100}, {18, 100}, {20, 99.2}, {22, 100}, {40, 101}}));
    CHECK(refusal.kind == RefusalKind::falls_short);
    CHECK(refusal.station_m.value() == 20);
    CHECK(refusal.short_by_m.value() == Approx(0.207).margin(1e-9));
}

TEST_CASE("a source that lies too low falls short at the source", "[profile]")
{
    auto problem = problem_over({{0, 100}, {40, 100.5}});
    problem.highest_source_invert_elev_m = 99.15; // 98.8 + 0.4 = 99.2 is needed
    const auto refusal = refused(problem);
    CHECK(refusal.kind == RefusalKind::falls_short);
    CHECK(refusal.station_m.value() == 40);
    CHECK(refusal.short_by_m.value() == Approx(0.05).margin(1e-9));
}

TEST_CASE("a hump that only a deeper cut would pass is refused as too deep", "[profile]")
{
    // Upstream of the hump the source holds the pipe down at 99.0, so under the hump it lies no higher than
    // 99.0 - 0.01 * 20; the cut there is 101.0 - 98.8 + 0.053, the limit 1.5.
    auto problem = problem_over({{0, 100}, {18, 100}, {20, 101}, {22, 100}, {40, 100}});
    problem.highest_source_invert_elev_m = 99.0;
    problem.lowest_outlet_invert_elev_m = 98.5;
    problem.bend_stations_m = {20};
    const auto refusal = refused(problem);
    CHECK(refusal.kind == RefusalKind::too_deep);
    CHECK(refusal.station_m.value() == 20);
    CHECK(refusal.short_by_m.value() == Approx(101.0 - 98.8 + 0.053 - 1.5).margin(1e-9));
}

TEST_CASE("a straight run too stiff for its ground is refused as too deep, with a bend it is laid", "[profile]")
{
    // The ground climbs 2 m in its middle third: one straight pipe cannot keep both cover and the cut limit.
    auto problem = problem_over({{0, 100}, {15, 100.2}, {16, 102.2}, {30, 102.4}});
    problem.lowest_outlet_invert_elev_m = 99;
    const auto refusal = refused(problem);
    CHECK(refusal.kind == RefusalKind::too_deep);
    CHECK(refusal.short_by_m.value() > 0);
    problem.bend_stations_m = {15, 16};
    CHECK(laid(problem).points.size() == 4);
    problem.bend_stations_m = {};
    problem.stick_length_m = 1;
    problem.min_joint_saving = 10; // no price keeps a break away that the limits need
    CHECK(laid(problem).points.size() >= 3);
}

TEST_CASE("a joint breaks the grade only where that saves more than its price", "[profile]")
{
    // Ground level for 10 m and then rising at 10 %. Straight, the pipe hangs from the source and the bend of the
    // ground alike; broken at 10 m it keeps its cover. What the break saves is the triangle between.
    auto problem = problem_over({{0, 100}, {10, 100.1}, {20, 101.1}});
    problem.min_fall_ratio = 0.01;
    problem.deepest_cut_m = 5;
    problem.lowest_outlet_invert_elev_m = 98;
    const auto straight = laid(problem);
    REQUIRE(straight.points.size() == 2);
    problem.stick_length_m = 10;
    problem.min_joint_saving = 0;
    const auto broken = laid(problem);
    REQUIRE(broken.points.size() == 3);
    CHECK(broken.points[1].station_m == 10);
    const double saving = straight.dig_cost - broken.dig_cost;
    // Straight best: least fall of 1 % up to the bend, carried on for 10 m: 0.9 m too deep at the source, area 4.5 m2.
    CHECK(saving == Approx(4.5 * 0.3 * 80).epsilon(2e-3));
    problem.min_joint_saving = saving * 1.001;
    CHECK(laid(problem).points.size() == 2);
    problem.min_joint_saving = saving * 0.999;
    CHECK(laid(problem).points.size() == 3);
}

TEST_CASE("an even slope makes no break at its bends", "[profile]")
{
    auto problem = problem_over({{0, 100}, {7.77, 100 + 0.0317 * 7.77}, {31, 100 + 0.0317 * 31}});
    problem.bend_stations_m = {3.3, 11.9, 23.456};
    problem.stick_length_m = 3.048;
    problem.min_joint_saving = 0;
    CHECK(laid(problem).points.size() == 2);
}

TEST_CASE("inverts follow the grade between their points", "[profile]")
{
    // docs/sources.md, Q2 (NAVEDTRA 14070): invert 122.87 at 9+00, 2.18 %, so 121.78 at 8+50. Feet as printed.
    const std::vector<GradePoint> grade{{0, 122.87 - 0.0218 * 900}, {900, 122.87}};
    CHECK(invert_at_m(grade, 850) == Approx(121.78).margin(0.005));
    CHECK(invert_at_m(grade, -1) == grade[0].invert_elev_m);
    CHECK(invert_at_m(grade, 901) == 122.87);
    // docs/sources.md, Z12: invert 96.00 at the outlet, 1 % upstream, 85.5 ft.
    const std::vector<GradePoint> rising{{0, 96}, {100, 97}};
    CHECK(invert_at_m(rising, 85.5) == Approx(96.855).margin(1e-9));
    CHECK_THROWS_AS(invert_at_m({}, 1), Error);
    CHECK_THROWS_AS(invert_at_m(rising, std::numeric_limits<double>::quiet_NaN()), Error);
    CHECK_THROWS_AS(ground_at_m({}, 0), Error);
}

TEST_CASE("dig cost is the exact integral over stretches of different cost", "[profile]")
{
    // Cut from 1 m at the outlet to 3 m at 20 m; width 0.3. To station 5: mean 1.25 m; beyond: mean 2.25 m.
    auto problem = problem_over({{0, 100}, {20, 102.2}});
    problem.dig_cost_per_m3 = {{{0, 5}, 100}, {{5, 20}, 10}};
    const double down = 1 - 0.053;
    const std::vector<GradePoint> grade{{0, 100 - down}, {20, 102.2 - 2 - down}};
    CHECK(dig_cost(problem, grade) == Approx(0.3 * (100 * 5 * 1.25 + 10 * 15 * 2.25)).epsilon(1e-12));
}

TEST_CASE("break stations come sorted, once each, from end to end", "[profile]")
{
    auto problem = problem_over({{0, 100}, {10, 100}, {20, 100}});
    problem.min_cover_m = {{{0, 10}, 0.3}, {{10, 20}, 0.4}};
    problem.dig_cost_per_m3 = {{{0, 4}, 1}, {{4, 4.0000000001}, 2}, {{4.0000000001, 20}, 1}};
    const std::vector<GradePoint> grade{{0, 99}, {15, 99.5}, {20, 99.6}};
    CHECK(break_stations_m(problem, grade) == std::vector<double>{0, 4, 10, 15, 20});
}

TEST_CASE("a profile problem that contradicts itself is an error, NaN included", "[profile]")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto fails = [](const std::function<void(ProfileProblem&)>& spoil) {
        auto problem = problem_over({{0, 100}, {10, 100.3}, {20, 100.6}});
        problem.bend_stations_m = {5};
        CHECK_NOTHROW(lay_profile(problem));
        spoil(problem);
        CHECK_THROWS_AS(lay_profile(problem), Error);
    };
    for (const double bad : {nan, -1.0}) {
        fails([&](auto& p) { p.section.width_m = bad; });
        fails([&](auto& p) { p.section.outside_diameter_m = bad; });
        fails([&](auto& p) { p.section.wall_m = bad; });
        fails([&](auto& p) { p.section.bedding_m = bad; });
        fails([&](auto& p) { p.min_cover_m[0].value = bad; });
        fails([&](auto& p) { p.min_cover_m[0].span.to_m = bad; });
        fails([&](auto& p) { p.min_cover_m[0].span.from_m = bad; });
        fails([&](auto& p) { p.dig_cost_per_m3[0].value = bad; });
        fails([&](auto& p) { p.dig_cost_per_m3[0].span.to_m = bad; });
        fails([&](auto& p) { p.bend_stations_m[0] = bad; });
        fails([&](auto& p) { p.min_fall_ratio = bad; });
        fails([&](auto& p) { p.deepest_cut_m = bad; });
        fails([&](auto& p) { p.stick_length_m = bad; });
        fails([&](auto& p) { p.min_joint_saving = bad; });
        fails([&](auto& p) { p.invert_step_m = bad; });
        fails([&](auto& p) { p.highest_outlet_invert_elev_m = bad; });
        fails([&](auto& p) { p.ground[1].station_m = bad; });
        fails([&](auto& p) { p.ground[0].station_m = bad; });
    }
    fails([&](auto& p) { p.ground[1].elev_m = nan; });
    fails([&](auto& p) { p.lowest_outlet_invert_elev_m = nan; });
    fails([&](auto& p) { p.highest_source_invert_elev_m = nan; });
    fails([](auto& p) { p.ground.resize(1); });
    fails([](auto& p) { p.ground.clear(); });
    fails([](auto& p) { p.min_cover_m.clear(); });
    fails([](auto& p) { p.dig_cost_per_m3[0].span.to_m = 15; });
    fails([](auto& p) { p.bend_stations_m = {30}; });
    fails([](auto& p) { p.ground[1].station_m = 20; });
    fails([](auto& p) { p.min_fall_ratio = 0; });
    fails([](auto& p) { p.stick_length_m = 1e-6; });
    fails([](auto& p) { p.invert_step_m = 1e-9; });
}

namespace {

/// The ground climbs steeply over the last meter, behind a bend: a pipe that follows it saves a triangle of 1 m by 1 m,
/// 0.3 m wide at 80 per cubic meter, which makes 12.
ProfileProblem steep_end()
{
    auto problem = problem_over({{0, 100}, {10, 100.1}, {11, 101.1}});
    problem.bend_stations_m = {10};
    return problem;
}

std::vector<double> turns_rad(const Profile& profile)
{
    std::vector<double> turns;
    const auto& p = profile.points;
    const auto grade_rad = [&](std::size_t i) {
        return std::atan((p[i].invert_elev_m - p[i - 1].invert_elev_m) / (p[i].station_m - p[i - 1].station_m));
    };
    for (std::size_t i = 1; i + 1 < p.size(); ++i) {
        turns.push_back(std::abs(grade_rad(i + 1) - grade_rad(i)));
    }
    return turns;
}

std::function<double(double)> fitting_at(double price)
{
    return [price](double angle_rad) { return angle_rad > 0.1 ? price : 0; };
}

} // namespace

TEST_CASE("a change of grade that needs a fitting is laid only where it saves more than the fitting", "[profile]")
{
    auto problem = steep_end();
    const auto free = laid(problem);
    REQUIRE(turns_rad(free).size() == 1);
    CHECK(turns_rad(free)[0] == Approx(std::atan(1.0) - std::atan(0.01)).margin(0.01));
    problem.turn_price = fitting_at(10);
    CHECK(laid(problem).points == free.points);
    problem.turn_price = fitting_at(13);
    const auto dear = laid(problem);
    for (const double turn_rad : turns_rad(dear)) {
        CHECK(turn_rad <= 0.1);
    }
    // What joints take is free: 0.1 rad above 1 % climbs 0.1104 m in the last meter in place of 1 m.
    CHECK(dear.dig_cost - free.dig_cost == Approx(0.3 * 80 * (1 - 0.1104) / 2).margin(0.05));
}

TEST_CASE("priced changes of grade never make a profile dearer in all", "[profile]")
{
    std::mt19937_64 dice(11);
    int compared = 0;
    for (int i = 0; i < 300; ++i) {
        auto problem = random_problem(dice);
        const auto plain = lay_profile(problem);
        const double price = uniform(dice, 0, 20);
        problem.turn_price = [price](double angle_rad) { return angle_rad > 0.02 ? price : 0; };
        const auto priced = lay_profile(problem);
        REQUIRE(priced.index() == plain.index());
        if (const auto* profile = std::get_if<Profile>(&priced)) {
            const auto all = [&](const Profile& one) {
                double sum = one.dig_cost;
                for (const double turn_rad : turns_rad(one)) {
                    sum += problem.turn_price(turn_rad);
                }
                return sum;
            };
            // Breaks at joints cost besides; they are few, so the plain profile's are all counted for it.
            const double joints = problem.min_joint_saving * static_cast<double>(profile->points.size());
            CHECK(all(*profile) <= all(std::get<Profile>(plain)) + joints + 1e-6);
            ++compared;
        }
    }
    CHECK(compared > 50);
}

TEST_CASE("a pump's line goes straight under a rise unless following it saves more than a joint", "[profile]")
{
    // Under the rise it lies deeper by a triangle of 10 m by 0.2 m, 0.3 m wide at 80: 24.
    auto problem = problem_over({{0, 100}, {5, 100.2}, {10, 100}});
    problem.min_joint_saving = 25;
    const auto straight = lay_at_cover(problem);
    REQUIRE(straight.points.size() == 2);
    CHECK(straight.points[0].invert_elev_m == Approx(100 - below_ground_m).margin(1e-12));
    CHECK(straight.points[1].invert_elev_m == Approx(100 - below_ground_m).margin(1e-12));
    problem.min_joint_saving = 23;
    const auto follows = lay_at_cover(problem);
    REQUIRE(follows.points.size() == 3);
    CHECK(follows.points[1].invert_elev_m == Approx(100.2 - below_ground_m).margin(1e-12));
    CHECK(straight.dig_cost - follows.dig_cost == Approx(24).margin(1e-9));
}

TEST_CASE("a pump's line never rises into its cover and never goes below the deepest cut to do without a joint",
          "[profile]")
{
    std::mt19937_64 dice(5);
    for (int i = 0; i < 200; ++i) {
        auto problem = random_problem(dice);
        problem.highest_outlet_invert_elev_m = 1e6;
        problem.lowest_outlet_invert_elev_m = -1e6;
        problem.min_joint_saving = uniform(dice, 0, 100);
        const auto profile = lay_at_cover(problem);
        for (const double station : break_stations_m(problem, profile.points)) {
            const double ground = ground_at_m(problem.ground, station);
            const double invert = invert_at_m(profile.points, station);
            double wanted = 0;
            for (const auto& [span, cover] : problem.min_cover_m) {
                wanted = span.from_m <= station && station <= span.to_m ? std::max(wanted, cover) : wanted;
            }
            CHECK(problem.section.cover_m(ground, invert) >= wanted - 1e-6);
        }
    }
}

TEST_CASE("where fall is short the cover wanted is given up only as far as the minimum fall asks", "[profile]")
{
    // At the source the line of 1 % lies 0.05 m too high for 0.3 m of cover, so from 35 m on it goes into it.
    auto problem = problem_over({{0, 100}, {40, 100}});
    problem.lowest_outlet_invert_elev_m = 100 - below_ground_m - 0.4 + 0.05;
    CHECK(refused(problem).short_by_m.value() == Approx(0.05).margin(1e-9));
    problem.min_cover_m = {{{0, 40}, 0.1}};
    CHECK(laid(problem).points.back().invert_elev_m == Approx(100 - below_ground_m + 0.2).margin(1.001e-3));
    problem.wanted_cover_m = {{{0, 40}, 0.3}};
    const auto profile = laid(problem);
    CHECK(profile.points.back().invert_elev_m == Approx(100 - below_ground_m + 0.05).margin(1e-9));
    CHECK(invert_at_m(profile.points, 35) == Approx(100 - below_ground_m).margin(1e-9));
    problem.wanted_above_m = 0.03; // kept as spare fall
    CHECK(laid(problem).points.back().invert_elev_m == Approx(100 - below_ground_m + 0.08).margin(1.001e-3));
}
