#include "profile_problems.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/safety.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <optional>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

constexpr double ft = ft_in_m;

Polygon box(double x, double y, double to_x, double to_y)
{
    return {.outer = {{x, y}, {to_x, y}, {to_x, to_y}, {x, to_y}}, .holes = {}};
}

/// The same lot with one source and one outlet, "D1" and a swale, for every trench has both.
Site with_ends(Site site)
{
    site.sources.resize(1);
    site.sources[0].id = "D1";
    site.outlets.resize(1);
    site.outlets[0].kind = OutletKind::swale;
    return site;
}

/// A trench 1 ft wide and 100 ft long along the x axis on level pipe, cut from and to in feet, measured and priced.
TrenchPlan trench_of(double from_ft, double to_ft, const Site& site, Rules& rules)
{
    rules.route.section = {.width_m = ft, .outside_diameter_m = 1e-6, .wall_m = 0, .bedding_m = 0};
    rules.route.restore_width_m = ft;
    TrenchPlan trench;
    trench.line.route.line = {{0, 0}, {100 * ft, 0}};
    trench.laid.problem = problem_over({{0, from_ft * ft}, {100 * ft, to_ft * ft}});
    trench.laid.problem.section = rules.route.section;
    trench.laid.profile.points = {{0, 0}, {100 * ft, 0}};
    trench.line.facts = facts_along(site, trench.line.route.line,
                                    surfaces_along(site, trench.line.route.line, rules.route), rules.route);
    measure_and_price_trench(trench, with_ends(site), rules);
    return trench;
}

/// Likely money for one kind of work of a trench, by the settings' rates.
double money(const TrenchPlan& trench, const Site& site, const Rules& rules, const std::string& item,
             const std::string& detail = "")
{
    const auto lot = with_ends(site);
    const auto book = settings_book(rules);
    const std::optional<FootingWork> footing;
    const auto work = trench_work({.site = lot, .rules = rules, .book = book, .footing = footing}, {&trench});
    double sum = 0;
    for (const auto& line : estimate(work, book, 0).lines) {
        const bool wanted = line.item == item && (detail.empty() || line.name.ends_with(detail));
        sum += wanted ? static_cast<double>(line.cents.likely) / 100 : 0;
    }
    return sum;
}

Ground tilted(double x_per_m, double y_per_m, double size_m)
{
    std::vector<Point3> spots;
    for (const double x : {-size_m, 0.0, size_m}) {
        for (const double y : {-size_m, 0.0, size_m}) {
            spots.push_back({.x_m = x, .y_m = y, .elev_m = 100 + x_per_m * x + y_per_m * y});
        }
    }
    return Ground::from_spots(spots, {});
}

/// A lot of 20 m, street to the south, lots "east" and "west" beside it, nothing named to the north.
Site block()
{
    Site site;
    site.parcel = {box(-10, -10, 10, 10)};
    site.right_of_way = {box(-40, -20, 40, -10)};
    site.neighbors = {box(10, -10, 40, 10), box(-40, -10, -10, 10)};
    site.neighbor_ids = {"east", "west"};
    return site;
}

OutletAim aim_on(const Site& site, double x_per_m, double y_per_m)
{
    return outlet_aim(facets_of(tilted(x_per_m, y_per_m, 60)), site, {.x_m = 2, .y_m = 1}, default_rules());
}

} // namespace

TEST_CASE("from 5 ft on the sides are sloped by the soil's type, and paid", "[protection]")
{
    // Cut 4 to 8 ft over 100 ft: 5 ft is passed at station 25. Slopes add z c^2 from there: z x 100 / 4 x (512 - 125) /
    // 3
    Site site;
    const double cubes_ft3 = 25.0 * (8 * 8 * 8 - 5 * 5 * 5) / 3;
    for (const auto& [soil, slope] : {std::pair{"A", 0.75}, {"B", 1.0}, {"C", 1.5}, {"unknown", 1.5}, {"rock", 0.0}}) {
        Rules rules = default_rules();
        rules.safety.protection.soil = soil;
        const auto trench = trench_of(4, 8, site, rules);
        REQUIRE(trench.safety.protection.size() == 1);
        const auto& stretch = trench.safety.protection[0];
        INFO(soil);
        CHECK(stretch.cut.span.from_m == Approx(25 * ft));
        CHECK(stretch.cut.span.to_m == Approx(100 * ft));
        CHECK(stretch.extra_machine_m3 == Approx(slope * cubes_ft3 * ft * ft * ft).margin(1e-9));
        CHECK(stretch.extra_hand_m3 == 0);
        CHECK(stretch.top_width_m == Approx((1 + 2 * slope * 8) * ft));
        CHECK(money(trench, site, rules, "machine_dig", "side slopes") ==
              Approx(stretch.extra_machine_m3 * rules.route.machine_per_m3).margin(0.006));
        REQUIRE(trench.safety.exits.size() == 1);
        CHECK(trench.safety.exits[0].span.from_m == Approx(0)); // 4 ft is "from 4 ft on"
    }
}

TEST_CASE("shored, the faces are paid and nothing more is dug", "[protection]")
{
    Site site;
    Rules rules = default_rules();
    rules.safety.protection.shore = true;
    rules.safety.protection.shore_per_m2 = 50;
    const auto trench = trench_of(4, 8, site, rules);
    REQUIRE(trench.safety.protection.size() == 1);
    CHECK(trench.safety.protection[0].face_m2 == Approx(2 * 75 * 6.5 * ft * ft)); // 75 ft at a mean cut of 6.5 ft
    CHECK(trench.safety.protection[0].extra_machine_m3 == 0);
    CHECK(money(trench, site, rules, "shoring") == Approx(50 * 2 * 75 * 6.5 * ft * ft).margin(0.006));
}

TEST_CASE("a shallow trench needs neither, and costs what it did", "[protection]")
{
    Site site;
    Rules rules = default_rules();
    const auto trench = trench_of(2, 3.9, site, rules);
    CHECK(trench.safety.exits.empty());
    CHECK(trench.safety.protection.empty());
    CHECK(money(trench, site, rules, "machine_dig", "side slopes") == 0);
}

TEST_CASE("side slopes inside a mark's zone are dug by hand, and the zone is named", "[protection]")
{
    Site site;
    site.marks.resize(1);
    site.marks[0].id = "G-1";
    site.marks[0].facility = Facility::gas;
    site.marks[0].line = {{60 * ft, -30}, {60 * ft, 30}};
    Rules rules = default_rules();
    const auto trench = trench_of(6, 6, site, rules);
    REQUIRE(trench.safety.protection.size() == 1);
    const auto& stretch = trench.safety.protection[0];
    // crossed squarely: 18 in each side of the mark, 3 ft of trench; 1.5 x 36 ft2 a foot
    CHECK(stretch.extra_hand_m3 == Approx(3 * 1.5 * 36 * ft * ft * ft));
    CHECK(stretch.extra_machine_m3 == Approx(97 * 1.5 * 36 * ft * ft * ft));
    REQUIRE(stretch.reached.size() == 1);
    CHECK(stretch.reached[0].name == "hand-dig zone of gas G-1");
}

TEST_CASE("a bore under roots takes its length out of the digging", "[trees]")
{
    // 12 in trunk, 1.25 ft an inch: circle of 15 ft. Edge 9 ft off: 24 ft inside, all of it by hand or bored.
    Site site;
    site.trees = {{.id = "oak", .at = {50 * ft, 9.5 * ft}, .trunk_diameter_m = ft, .origin = {}}};
    Rules rules = default_rules();
    const auto by_hand = trench_of(2, 2, site, rules);
    rules.safety.trees.bore = true;
    rules.safety.trees.bore_per_m = 100;
    const auto bored = trench_of(2, 2, site, rules);
    CHECK(by_hand.safety.bored_m == 0);
    CHECK(by_hand.measured.quantities.hand_length_m == Approx(24 * ft));
    CHECK(bored.safety.bored_m == Approx(24 * ft));
    CHECK(bored.measured.quantities.hand_length_m == Approx(0).margin(1e-9));
    CHECK(bored.measured.quantities.machine_length_m == Approx(76 * ft));
    CHECK(by_hand.measured.quantities.hand_cut_m3 - bored.measured.quantities.hand_cut_m3 ==
          Approx(24 * 2 * ft * ft * ft));
    CHECK(bored.measured.quantities.restore_m2.at("lawn") == Approx(76 * ft * ft));
    CHECK(money(bored, site, rules, "root_bore") == Approx(100 * 24 * ft).margin(0.006));
    CHECK(money(bored, site, rules, "hand_dig") == 0);
}

TEST_CASE("water from an outlet is followed to whose boundary it crosses", "[aim]")
{
    auto site = block();
    const auto east = aim_on(site, -0.02, 0);
    CHECK(east.target == AimTarget::neighbor);
    CHECK(east.neighbor == "east");
    CHECK(east.length_m == Approx(8));
    CHECK(east.leaves_at.value().x_m == Approx(10));
    CHECK(east.neighbor_away_m.value() == Approx(8));
    CHECK(east.way.points.back().elev_m == Approx(100 - 0.2));
    CHECK(aim_on(site, 0.02, 0).neighbor == "west");
    CHECK(aim_on(site, 0, 0.02).target == AimTarget::street);
    CHECK(aim_on(site, 0, 0.02).length_m == Approx(11));
    CHECK(aim_on(site, 0, -0.02).target == AimTarget::other_side);
    site.surfaces = {{.kind = "public_sidewalk", .area = box(-40, -12, 40, -10.5), .origin = {}}};
    CHECK(aim_on(site, 0, 0.02).walks == std::vector<std::string>{"public sidewalk"});
    CHECK(aim_on(site, -0.02, 0).walks.empty());
}

TEST_CASE("water let out that runs over a septic field, or near a well, is said to with its name", "[aim]")
{
    auto site = block(); // the water runs east from (2, 1) along y = 1
    site.septic = {{.id = "field", .place = box(5.5, -1, 7, 3), .holder = {}, .origin = {}},
                   {.id = "tank", .place = box(5, 5, 6, 6), .holder = {}, .origin = {}}};
    site.wells = {{.id = "W1", .place = Point{.x_m = 6, .y_m = 3}, .holder = {}, .origin = {}},
                  {.id = "W2", .place = Point{.x_m = 20, .y_m = 1}, .holder = {}, .origin = {}}}; // the neighbor's
    const auto aim = aim_on(site, -0.02, 0);
    REQUIRE(aim.reserves.size() == 3); // the tank is 4 m off, farther than 10 ft
    CHECK(aim.reserves[0].id == "field");
    CHECK(aim.reserves[0].enters);
    CHECK(aim.reserves[1].id == "W1");
    CHECK_FALSE(aim.reserves[1].enters);
    CHECK(aim.reserves[1].barred); // in the circle of a well, which is hard
    CHECK(aim.reserves[1].away_m == Approx(2));
    CHECK(aim.reserves[2].id == "W2");
    CHECK(aim.reserves[2].enters);
    CHECK(aim_on(site, 0, 0.02).reserves.empty()); // south along x = 2, 3.5 m from the field
}

TEST_CASE("water let out that runs past a building is said to, with how far off, ours or a neighbor's", "[aim]")
{
    Site site = block();
    // East along y = 1 from x = 2: one 1 m north of its way, one 5 ft = 1.524 m south, one across it.
    site.foundations = {{.outer = {{4, 2}, {6, 2}, {6, 4}, {4, 4}}, .holes = {}}};
    site.foundation_ids = {"house"};
    site.neighbor_buildings = {{.outer = {{7, -2}, {9, -2}, {9, -0.53}, {7, -0.53}}, .holes = {}},
                               {.outer = {{25, 0}, {28, 0}, {28, 3}, {25, 3}}, .holes = {}}};
    const auto aim = aim_on(site, -0.02, 0);
    REQUIRE(aim.buildings.size() == 2);
    CHECK(aim.buildings[0].ours);
    CHECK(aim.buildings[0].id == "house");
    CHECK(aim.buildings[0].away_m == Approx(1));
    CHECK_FALSE(aim.buildings[1].ours);
    CHECK(aim.buildings[1].away_m == Approx(0).margin(1e-9));
    CHECK(aim.fall_ratio == Approx(0.02));
    CHECK(aim_on(site, -0.25, 0).fall_ratio == Approx(0.25));
}

TEST_CASE("water that comes to a stand, or leaves the survey, is said to", "[aim]")
{
    const auto site = block();
    std::vector<Point3> bowl{{.x_m = 4, .y_m = 4, .elev_m = 99}};
    for (int i = 0; i < 12; ++i) { // 225 deg lies midway between two of these, so the way to the middle is straight
        const double angle = i * std::numbers::pi / 6;
        bowl.push_back({.x_m = 4 + 60 * std::cos(angle), .y_m = 4 + 60 * std::sin(angle), .elev_m = 100});
    }
    const auto stands =
        outlet_aim(facets_of(Ground::from_spots(bowl, {})), site, {.x_m = 2, .y_m = 2}, default_rules());
    CHECK(stands.target == AimTarget::stays_inside);
    CHECK(stands.length_m == Approx(std::hypot(2, 2)));
    // surveyed to 5 m only: the way ends on our own lot, at the edge of what is known
    const auto short_of = outlet_aim(facets_of(tilted(-0.02, 0, 5)), site, {.x_m = 2, .y_m = 1}, default_rules());
    CHECK(short_of.target == AimTarget::unknown);
    CHECK(outlet_aim(facets_of(tilted(0, 0.02, 5)), site, {.x_m = 50, .y_m = 0}, default_rules()).target ==
          AimTarget::unknown);
}

TEST_CASE("the footing's bottom is found from the datum, the floor, or the highest ground beside the house", "[wedge]")
{
    Site site;
    site.foundations = {box(-5, -5, 5, 5)};
    const auto ground = tilted(0.02, 0, 60); // beside the house at most 100.1
    Job job;
    job.rules = default_rules();
    CHECK_FALSE(footing_edge(job, site, ground));
    job.footing = FootingRecord{};
    job.footing->below_ground_m = 1;
    CHECK(footing_edge(job, site, ground).value().bottom_elev_m == Approx(99.1));
    job.footing = FootingRecord{};
    job.footing->bottom_elev_m = 98;
    job.footing->outer_edge_m = 0.1;
    CHECK(footing_edge(job, site, ground).value().bottom_elev_m == 98);
    CHECK(footing_edge(job, site, ground).value().outer_edge_m == 0.1);
    job.footing = FootingRecord{};
    job.footing->below_floor_m = 0.5;
    CHECK_THROWS_WITH(footing_edge(job, site, ground), Catch::Contains("[inside] floor"));
    job.floor_elev_m = 99;
    CHECK(footing_edge(job, site, ground).value().bottom_elev_m == Approx(98.5));
    site.foundations = {box(50, 50, 70, 70)}; // partly off the survey
    job.footing = FootingRecord{};
    job.footing->below_ground_m = 1;
    CHECK_FALSE(footing_edge(job, site, ground));
}
