#include "trenchwright/base/error.hpp"
#include "trenchwright/ground/fall_uncertainty.hpp"
#include "trenchwright/ground/ground.hpp"
#include "trenchwright/ground/surface_uncertainty.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>

using namespace trenchwright;

namespace {

const FallUncertaintyRules many{.draws = 40000, .seed = 7};

/// Share of a normal distribution below x standard deviations; closed form.
double normal_below(double x)
{
    return std::erfc(-x / std::sqrt(2.0)) / 2;
}

FallPlace place_with(double spare_m)
{
    FallPlace place;
    place.spare_m = spare_m;
    return place;
}

double hypot_of(const Point& a, const Point& b)
{
    return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

/// Made-up ground: heights drawn together at given places so that the mean square difference of two of them is
/// `rise` times distance to a power (fractional Brownian ground; closed-form covariance about one of them), on a
/// slope. Written here on its own, with another factorisation than the code that is tested.
std::vector<double> made_heights(const std::vector<Point>& at, double rise, double power, std::mt19937_64& dice)
{
    const std::size_t n = at.size();
    const Point origin{-50, -50};
    const auto far = [&](const Point& a, const Point& b) { return std::pow(hypot_of(a, b), power); };
    std::vector<std::vector<double>> root(n, std::vector<double>(n, 0));
    for (std::size_t k = 0; k < n; ++k) {
        for (std::size_t i = k; i < n; ++i) {
            double sum = rise / 2 * (far(at[i], origin) + far(at[k], origin) - far(at[i], at[k]));
            for (std::size_t j = 0; j < k; ++j) {
                sum -= root[i][j] * root[k][j];
            }
            root[i][k] = i == k ? std::sqrt(std::max(sum, 1e-15)) : sum / root[k][k];
        }
    }
    std::normal_distribution<double> normal;
    std::vector<double> draw(n);
    std::ranges::generate(draw, [&] { return normal(dice); });
    std::vector<double> heights(n, 0);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k <= i; ++k) {
            heights[i] += root[i][k] * draw[k];
        }
        heights[i] += 0.02 * at[i].x_m - 0.01 * at[i].y_m;
    }
    return heights;
}

/// A lot of 30 by 20 m with a straight trench along it, shot at random places; its true ground is known.
struct MadeLot {
    std::vector<Point3> spots;
    std::vector<Point> route;
    std::vector<double> truth_m; ///< along the route
};

MadeLot made_lot(double power, std::mt19937_64& dice)
{
    std::uniform_real_distribution<double> x(0, 30);
    std::uniform_real_distribution<double> y(0, 20);
    std::vector<Point> at{{0, 0}, {30, 0}, {30, 20}, {0, 20}};
    for (int i = 0; i < 21; ++i) {
        at.push_back({x(dice), y(dice)});
    }
    const std::size_t shots = at.size();
    for (int i = 2; i <= 28; ++i) {
        at.push_back({static_cast<double>(i), 10});
    }
    const auto heights = made_heights(at, 0.002, power, dice);
    MadeLot lot;
    for (std::size_t i = 0; i < at.size(); ++i) {
        if (i < shots) {
            lot.spots.push_back({at[i].x_m, at[i].y_m, heights[i]});
        } else {
            lot.route.push_back(at[i]);
            lot.truth_m.push_back(heights[i]);
        }
    }
    return lot;
}

/// A lot as it is planned: the surface through the shots and its doubt along the trench.
struct Planned {
    std::vector<double> ground_m;
    std::vector<double> covariance_m2;
};

Planned planned(const MadeLot& lot, const std::vector<Point3>& spots)
{
    const auto ground = Ground::from_spots(spots, {});
    const auto doubt =
        SurfaceUncertainty::of(ground, std::vector<bool>(ground.points().size(), true), {.shot_error_m = 0});
    Planned made;
    for (const auto& p : lot.route) {
        made.ground_m.push_back(ground.elev_m(p).value());
    }
    made.covariance_m2 = doubt->covariance_m2(lot.route);
    return made;
}

/// Room over a line that falls 1 % toward the route's start, `base_m` high there.
std::vector<FallPlace> places_over(const MadeLot& lot, const std::vector<double>& ground_m, double base_m)
{
    std::vector<FallPlace> places;
    for (std::size_t i = 0; i < lot.route.size(); ++i) {
        places.push_back({.at = lot.route[i],
                          .station_m = static_cast<double>(i),
                          .source = 0,
                          .spare_m = ground_m[i] - base_m - 0.01 * static_cast<double>(i)});
    }
    return places;
}

bool truly_drains(const MadeLot& lot, double base_m)
{
    for (std::size_t i = 0; i < lot.route.size(); ++i) {
        if (lot.truth_m[i] < base_m + 0.01 * static_cast<double>(i)) {
            return false;
        }
    }
    return true;
}

/// The base at which the stated probability is the one wanted, found from what the plan knows alone.
double base_for(const MadeLot& lot, const Planned& plan, double wanted_share, const FallUncertaintyRules& rules)
{
    double min_m = 20;
    for (const auto& place : places_over(lot, plan.ground_m, 0)) {
        min_m = std::min(min_m, place.spare_m);
    }
    double low = min_m - 0.6;  // drains
    double high = min_m + 0.6; // does not
    for (int i = 0; i < 9; ++i) {
        const double middle = (low + high) / 2;
        const auto doubt = fall_uncertainty(places_over(lot, plan.ground_m, middle), plan.covariance_m2, rules);
        (doubt.drains_share >= wanted_share ? low : high) = middle;
    }
    return low;
}

/// Of made-up lots where the stated probability is 80 %, the share that truly drain.
double true_share(double power, int lots)
{
    std::mt19937_64 dice(2026);
    const FallUncertaintyRules rules{.draws = 200, .seed = 3};
    int drained = 0;
    for (int i = 0; i < lots; ++i) {
        const auto lot = made_lot(power, dice);
        const auto plan = planned(lot, lot.spots);
        drained += truly_drains(lot, base_for(lot, plan, 0.8, rules)) ? 1 : 0;
    }
    return static_cast<double>(drained) / lots;
}

} // namespace

TEST_CASE("one place drains with the probability of the normal distribution", "[doubt]")
{
    for (const double spare_m : {-0.05, 0.0, 0.02, 0.08}) {
        const double error_m = 0.04;
        const std::vector<FallPlace> places{place_with(spare_m)};
        const auto doubt = fall_uncertainty(places, std::vector{error_m * error_m}, many);
        // Three standard errors of 40000 draws at p = 0.5 are 0.0075.
        CHECK(doubt.drains_share == Approx(normal_below(spare_m / error_m)).margin(0.0075));
        CHECK(doubt.error_m == Approx(error_m));
        CHECK(doubt.uncertainty_share == Approx(doubt.drains_share * (1 - doubt.drains_share)));
    }
}

TEST_CASE("places that err apart must all have room, places that err together fail together", "[doubt]")
{
    const std::vector<FallPlace> places{place_with(0.02), place_with(0.02)};
    const double one = normal_below(0.5); // 0.02 of 0.04
    CHECK(fall_uncertainty(places, std::vector{0.0016, 0.0, 0.0, 0.0016}, many).drains_share ==
          Approx(one * one).margin(0.0075));
    CHECK(fall_uncertainty(places, std::vector{0.0016, 0.0016, 0.0016, 0.0016}, many).drains_share ==
          Approx(one).margin(0.0075));
    // Against each other: room is lost at the one or at the other, beyond half a standard deviation each.
    CHECK(fall_uncertainty(places, std::vector{0.0016, -0.0016, -0.0016, 0.0016}, many).drains_share ==
          Approx(2 * one - 1).margin(0.0075));
}

TEST_CASE("an outlet that rests on the ground takes fall away as it rises", "[doubt]")
{
    auto tight = place_with(0.03);
    tight.end = 1;
    const std::vector<FallPlace> places{tight, place_with(1000)};
    // Errors apart: their difference has twice the mean square.
    const auto apart = fall_uncertainty(places, std::vector{0.0008, 0.0, 0.0, 0.0008}, many);
    CHECK(apart.error_m == Approx(0.04));
    CHECK(apart.drains_share == Approx(normal_below(0.03 / 0.04)).margin(0.0075));
    // Errors alike: the difference of heights is certain.
    const auto alike = fall_uncertainty(places, std::vector{0.0008, 0.0008, 0.0008, 0.0008}, many);
    CHECK(alike.place == 0); // never the place that only carries the outlet
    CHECK(alike.error_m == Approx(0).margin(1e-12));
    CHECK(alike.drains_share == 1);
    auto wall = place_with(0.03);
    wall.fixed = true; // a wall core stays where it is
    const std::vector<FallPlace> core{wall};
    CHECK(fall_uncertainty(core, std::vector{0.01}, many).drains_share == 1);
    CHECK_FALSE(fall_uncertainty(core, std::vector{0.01}, many).next.has_value());
}

TEST_CASE("the next shot goes where the doubt is", "[doubt]")
{
    const std::vector<FallPlace> places{place_with(0.3), place_with(0.01), place_with(0.2)};
    const std::vector<double> apart{0.0016, 0, 0, 0, 0.0016, 0, 0, 0, 0.0016};
    const auto doubt = fall_uncertainty(places, apart, many);
    REQUIRE(doubt.next.has_value());
    CHECK(doubt.next->place == 1);
    // Once that height is known nothing is open but the group in which it turns: 1 of 25, a quarter at most.
    CHECK(doubt.next->uncertainty_after_share <= 0.25 / 25 + 1e-12);
    CHECK(fall_uncertainty(places, std::vector<double>(9, 0.0), many).drains_share == 1);
}

TEST_CASE("the same seed gives the same figures, another one nearly so", "[doubt]")
{
    const std::vector<FallPlace> places{place_with(0.02)};
    const auto with = [&](int seed) {
        return fall_uncertainty(places, std::vector{0.0016}, {.draws = 4000, .seed = seed}).drains_share;
    };
    CHECK(with(5) == with(5));
    CHECK(with(5) == Approx(with(6)).margin(0.03));
}

TEST_CASE("doubt of fall refuses what does not fit", "[doubt]")
{
    const std::vector<FallPlace> places{place_with(0.02)};
    const double no_number = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(fall_uncertainty(places, std::vector{0.1, 0.1}, many), Error);
    CHECK_THROWS_AS(fall_uncertainty(places, std::vector{no_number}, many), Error);
    CHECK_THROWS_AS(fall_uncertainty({}, {}, many), Error);
    CHECK_THROWS_AS(fall_uncertainty(std::vector{place_with(no_number)}, std::vector{0.1}, many), Error);
    auto astray = place_with(0.1);
    astray.end = 1;
    CHECK_THROWS_AS(fall_uncertainty(std::vector{astray}, std::vector{0.1}, many), Error);
}

TEST_CASE("between two shots the error grows as a Brownian bridge", "[doubt]")
{
    // Places on the edge from (0, 0) to (8, 0): mean square rise * t (8 - t) / 8, and across t < u rise * t (8 - u)
    // / 8.
    const std::vector<Point3> spots{{0, 0, 1}, {8, 0, 1.2}, {4, 7, 1.4}, {4, -20, 0.8}, {4, 2, 1.3}, {20, 0, 2}};
    const auto ground = Ground::from_spots(spots, {});
    const std::vector<bool> all(ground.points().size(), true);
    const auto doubt = SurfaceUncertainty::of(ground, all, {.shot_error_m = 0});
    REQUIRE(doubt.has_value());
    const double rise = doubt->squared_rise_m2();
    REQUIRE(rise > 0);
    const std::vector<Point> at{{2, 0}, {6, 0}, {0, 0}, {8, 0}};
    const auto covariance = doubt->covariance_m2(at);
    CHECK(covariance[0] == Approx(rise * 2 * 6 / 8));
    CHECK(covariance[5] == Approx(rise * 6 * 2 / 8));
    CHECK(covariance[1] == Approx(rise * 2 * 2 / 8));
    CHECK(covariance[10] == Approx(0).margin(1e-12)); // at a shot there is no error but the shot's own
    const auto shaky = SurfaceUncertainty::of(ground, all, {.shot_error_m = 0.01});
    CHECK(shaky->covariance_m2(at)[10] == Approx(0.0001));
    CHECK(shaky->squared_rise_m2() < rise);
}

TEST_CASE("a plane leaves no doubt, a grid and a triangle have none to state", "[doubt]")
{
    std::vector<Point3> plane;
    for (const auto& [x, y] : {std::pair{0., 0.}, {9., 1.}, {8., 9.}, {1., 8.}, {4., 5.}, {6., 3.}}) {
        plane.push_back({x, y, 3 + 0.02 * x - 0.05 * y});
    }
    const auto ground = Ground::from_spots(plane, {});
    const auto doubt = SurfaceUncertainty::of(ground, std::vector<bool>(6, true), {.shot_error_m = 0});
    REQUIRE(doubt.has_value());
    CHECK(doubt->squared_rise_m2() == Approx(0).margin(1e-20));
    CHECK_FALSE(SurfaceUncertainty::of(ground, std::vector<bool>(6, false), {}).has_value());
    const auto three = Ground::from_spots(std::vector<Point3>{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {});
    CHECK_FALSE(SurfaceUncertainty::of(three, std::vector<bool>(3, true), {}).has_value());
    CHECK_THROWS_AS(doubt->covariance_m2(std::vector<Point>{{50, 50}}), Error);
}

TEST_CASE("of 1000 lots said to drain with 80 %, 75 to 85 % do, on ground as rough as taken", "[doubt]")
{
    const double share = true_share(1, 1000);
    INFO(share);
    CHECK(share >= 0.75);
    CHECK(share <= 0.85);
}

TEST_CASE("the same on smoother ground than taken", "[doubt]")
{
    const double share = true_share(1.5, 1000);
    INFO(share);
    CHECK(share >= 0.75);
    CHECK(share <= 0.85);
}

TEST_CASE("a shot where it is advised tells more than one at a random place of the trench", "[doubt]")
{
    std::mt19937_64 dice(77);
    const FallUncertaintyRules rules{.draws = 500, .seed = 3};
    std::uniform_int_distribution<std::size_t> any(0, 26);
    double advised = 0;
    double random = 0;
    double advised_wrong = 0;
    double random_wrong = 0;
    constexpr int lots = 200;
    for (int i = 0; i < lots; ++i) {
        const auto lot = made_lot(1, dice);
        const auto plan = planned(lot, lot.spots);
        const double base = base_for(lot, plan, 0.5, rules);
        const auto before = fall_uncertainty(places_over(lot, plan.ground_m, base), plan.covariance_m2, rules);
        REQUIRE(before.next.has_value());
        const double truth = truly_drains(lot, base) ? 1 : 0;
        const auto after = [&](std::size_t place) {
            auto spots = lot.spots;
            spots.push_back({lot.route[place].x_m, lot.route[place].y_m, lot.truth_m[place]});
            const auto again = planned(lot, spots);
            return fall_uncertainty(places_over(lot, again.ground_m, base), again.covariance_m2, rules).drains_share;
        };
        const double by_advice = after(before.next->place);
        const double by_chance = after(any(dice));
        advised += by_advice * (1 - by_advice) / lots;
        random += by_chance * (1 - by_chance) / lots;
        advised_wrong += std::pow(by_advice - truth, 2) / lots;
        random_wrong += std::pow(by_chance - truth, 2) / lots;
    }
    INFO("doubt left: advised " << advised << ", random " << random << "; missed (Brier): advised " << advised_wrong
                                << ", random " << random_wrong);
    CHECK(advised < 0.9 * random);
    CHECK(advised_wrong < random_wrong);
}

TEST_CASE("the room and the error printed are those of the place that decides", "[doubt]")
{
    // A lid has little room that no ground moves; further up there is more room, and the ground may be far off.
    auto lid = place_with(0.07);
    lid.fixed = true;
    const std::vector<FallPlace> places{lid, place_with(0.18), place_with(0.30)};
    const double error_m = 0.30;
    const std::vector<double> covariance{0, 0, 0, 0, error_m * error_m, 0, 0, 0, 0.0001};
    const auto doubt = fall_uncertainty(places, covariance, many);
    CHECK(doubt.place == 1);
    CHECK(doubt.spare_m == 0.18);
    CHECK(doubt.error_m == Approx(error_m));
    // Only that place can run short, so the figures explain the chance: 0.18 / 0.30 of an error, 73 %.
    CHECK(doubt.drains_share == Approx(normal_below(0.18 / 0.30)).margin(0.0075));
}

TEST_CASE("smooth ground beside the line, in a lot made rough by a ditch elsewhere, is told", "[doubt]")
{
    // A plane of shots every 2 m, with a ditch 0.5 m deep along x = 20; the shots about it are missed by 0.5 m or 0.25
    // m, all others by nothing.
    std::vector<Point3> spots;
    for (int i = 0; i <= 12; ++i) {
        for (int k = 0; k <= 6; ++k) {
            spots.push_back({.x_m = 2.0 * i, .y_m = 2.0 * k + 0.1 * (i % 2), .elev_m = i == 10 ? 9.5 : 10.0});
        }
    }
    const auto ground = Ground::from_spots(spots, {});
    const UncertaintyRules rules{.shot_error_m = 0.003, .roughness_factor = 1, .beside_m = 3, .fit_factor = 2};
    const std::vector<bool> all(ground.points().size(), true);
    const auto surface = SurfaceUncertainty::of(ground, all, rules);
    REQUIRE(surface);
    const auto far = surface->beside(std::vector<Polyline>{{{4, 2}, {4, 10}}});
    CHECK(far.shots >= 3);
    CHECK(far.missed_m < 1e-9);
    CHECK(far.expected_m > 0.05);
    CHECK_FALSE(far.fits);
    // The whole lot is by its own measure as rough as it is.
    const auto everywhere =
        surface->beside(std::vector<Polyline>{{{0, 6}, {24, 6}}, {{0, 2}, {24, 2}}, {{0, 10}, {24, 10}}});
    CHECK(everywhere.missed_m == Approx(everywhere.expected_m).epsilon(0.25));
    CHECK(everywhere.fits);
    // Where no shot lies beside the line nothing speaks against it.
    CHECK(surface->beside(std::vector<Polyline>{{{100, 100}, {110, 100}}}).fits);
}
