#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/uplift.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <numbers>
#include <vector>

using namespace trenchwright;
using namespace flow_units;

namespace {

constexpr double lb_per_ft3 = lb_in_kg / cu_ft_in_m3; // in kg/m3

UpliftRules rules(double safety)
{
    return {.min_safety_factor = safety, .water_kg_per_m3 = 62.4 * lb_per_ft3, .concrete_kg_per_m3 = 150 * lb_per_ft3};
}

BuriedPit pit_ft(double ft3, double lb)
{
    return {.outside_m3 = ft3 * cu_ft_in_m3, .weight_kg = lb * lb_in_kg};
}

// docs/sources.md, B3: 18 in across, 24 in deep.
const double pit_ft3 = std::numbers::pi / 4 * 1.5 * 1.5 * 2;

} // namespace

TEST_CASE("a buried tank floats as in the flood handbook's example", "[flow][uplift]")
{
    // docs/sources.md, B1, B2: FEMA P-259, ex. C7: 250 gal at 0.134 ft3/gal, 670 lb, safety 1.3.
    const Uplift tank = uplift(pit_ft(250 * 0.134, 670), {}, rules(1.3));
    CHECK(tank.net_kg / lb_in_kg == Approx(2048).margin(1));
    CHECK(tank.concrete_m3 / cu_ft_in_m3 == Approx(23.4).margin(0.05));
    CHECK_FALSE(tank.holds);
}

TEST_CASE("an empty sump pit under water floats", "[flow][uplift]")
{
    // docs/sources.md, B3: arithmetic as B1 and B2, weight of the pit ignored.
    const Uplift plain = uplift(pit_ft(pit_ft3, 0), {}, rules(1));
    CHECK(plain.net_kg / lb_in_kg == Approx(220.5).margin(0.2));
    const Uplift safe = uplift(pit_ft(pit_ft3, 0), {}, rules(1.3));
    CHECK(safe.net_kg / lb_in_kg == Approx(286.7).margin(0.2));
    CHECK(safe.concrete_m3 / cu_ft_in_m3 == Approx(3.27).margin(0.01));
    CHECK(safe.safety_factor == 0.0);
}

TEST_CASE("soil over a flange holds by what it weighs, in air or in water", "[flow][uplift]")
{
    // docs/sources.md, B4: forum thread on buoyancy, option 1: concrete 340 ft3 and soil 384 ft3 both inside the
    // displaced 980 ft3.
    const Uplift whole = uplift(pit_ft(980, 340 * 150 + 384 * 110), {}, rules(1.5));
    CHECK(whole.safety_factor.value() == Approx(1.52).margin(0.01));
    CHECK(whole.holds);
    CHECK(whole.concrete_m3 == 0);
    // docs/sources.md, B5: same, option 3: the soil under water, the concrete inside the displaced 596 ft3.
    const std::vector<Ballast> soil = {{.volume_m3 = 384 * cu_ft_in_m3, .density_kg_per_m3 = 110 * lb_per_ft3}};
    const Uplift parts = uplift(pit_ft(596, 340 * 150), soil, rules(1.5));
    CHECK(parts.safety_factor.value() == Approx(1.86).margin(0.01));
    CHECK(parts.holds);
}

TEST_CASE("in a perforated pit only the walls displace water", "[flow][uplift]")
{
    BuriedPit pit = pit_ft(pit_ft3, 10);
    pit.perforated = true;
    const Uplift unknown = uplift(pit, {}, rules(1.3));
    CHECK(unknown.displaced_kg == 0);
    CHECK(unknown.walls_unknown);
    CHECK(unknown.holds);
    CHECK_FALSE(unknown.safety_factor.has_value());
    // 0.3 ft3 of wall displaces 18.72 lb; x 1.3 less 10 lb is 14.336 lb.
    pit.wall_m3 = 0.3 * cu_ft_in_m3;
    const Uplift known = uplift(pit, {}, rules(1.3));
    CHECK(known.net_kg / lb_in_kg == Approx(14.336).epsilon(1e-9));
    CHECK_FALSE(known.walls_unknown);
    CHECK_FALSE(known.holds);
    // Its holes sealed it floats like any other, whatever its walls.
    pit.perforated = false;
    CHECK(uplift(pit, {}, rules(1.3)).displaced_kg / lb_in_kg == Approx(220.5).margin(0.2));
}

TEST_CASE("the concrete asked for holds random pits, and less does not", "[flow][uplift]")
{
    rc::prop("adding that concrete as ballast brings the net uplift to 0", [] {
        const BuriedPit pit = pit_ft(*between(0.5, 100), *between(0, 500));
        const UpliftRules rule = rules(*between(1, 2));
        const Uplift bare = uplift(pit, {}, rule);
        RC_PRE(!bare.holds);
        std::vector<Ballast> concrete = {{.volume_m3 = bare.concrete_m3, .density_kg_per_m3 = rule.concrete_kg_per_m3}};
        RC_ASSERT(uplift(pit, concrete, rule).net_kg == Approx(0).margin(1e-9 * bare.net_kg));
        RC_ASSERT(uplift(pit, concrete, rule).safety_factor.value() == Approx(rule.min_safety_factor));
        concrete[0].volume_m3 *= 0.99;
        RC_ASSERT(!uplift(pit, concrete, rule).holds);
    });
    rc::prop("ballast as heavy as water changes nothing", [] {
        const BuriedPit pit = pit_ft(*between(0.5, 100), *between(0, 500));
        const std::vector<Ballast> water = {
            {.volume_m3 = *between(0, 10), .density_kg_per_m3 = rules(1).water_kg_per_m3}};
        RC_ASSERT(uplift(pit, water, rules(1.3)) == uplift(pit, {}, rules(1.3)));
    });
}

TEST_CASE("pits, ballast and densities out of range stop the run", "[flow][uplift]")
{
    const BuriedPit pit = pit_ft(pit_ft3, 10);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {nan, -1.0, std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(uplift(pit_ft(bad, 0), {}, rules(1)), Error);
        CHECK_THROWS_AS(uplift(pit_ft(1, bad), {}, rules(1)), Error);
        CHECK_THROWS_AS(uplift(pit, std::vector<Ballast>{{.volume_m3 = bad, .density_kg_per_m3 = 2000}}, rules(1)),
                        Error);
        CHECK_THROWS_AS(uplift(pit, std::vector<Ballast>{{.volume_m3 = 1, .density_kg_per_m3 = bad}}, rules(1)), Error);
        CHECK_THROWS_AS(uplift(pit, {}, rules(bad)), Error);
        UpliftRules wrong = rules(1);
        wrong.water_kg_per_m3 = bad;
        CHECK_THROWS_AS(uplift(pit, {}, wrong), Error);
        wrong = rules(1);
        wrong.concrete_kg_per_m3 = bad;
        CHECK_THROWS_AS(uplift(pit, {}, wrong), Error);
        BuriedPit walls = pit;
        walls.wall_m3 = bad;
        CHECK_THROWS_AS(uplift(walls, {}, rules(1)), Error);
    }
    CHECK_THROWS_AS(uplift(pit, {}, rules(0.99)), Error);
    BuriedPit thick = pit;
    thick.wall_m3 = pit.outside_m3 * 1.01;
    CHECK_THROWS_AS(uplift(thick, {}, rules(1)), Error);
}
