#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/pit.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace trenchwright;
using namespace flow_units;

namespace {

/// One cycle by small steps of time: drawn down to off, line runs back, fills to on, pumps to off again.
PumpCycle stepped(const PitStorage& pit, double inflow, double pump)
{
    const double step_s = 1e-3;
    PumpCycle cycle = {.state = PitState::cycles};
    double level_m3 = pit.drains_back_m3;
    while (level_m3 < pit.between_levels_m3) {
        level_m3 += inflow * step_s;
        cycle.fill_s += step_s;
    }
    while (level_m3 > 0) {
        level_m3 += (inflow - pump) * step_s;
        cycle.run_s += step_s;
    }
    return cycle;
}

} // namespace

TEST_CASE("a round pit holds what arithmetic says", "[flow][pit]")
{
    // docs/sources.md, T12: 18 in round: 1.1016 gal per inch, 26.44 gal in 24 in.
    CHECK(round_pit_volume_m3(18 * inch_in_m, inch_in_m) / gallon_in_m3 == Approx(1.1016).margin(1e-4));
    CHECK(round_pit_volume_m3(18 * inch_in_m, 24 * inch_in_m) / gallon_in_m3 == Approx(26.44).margin(0.01));
}

TEST_CASE("a pump fills, runs and stops as a stepped pit does", "[flow][pit]")
{
    const PitStorage plain = {.between_levels_m3 = 0.025};
    const PitStorage open = {.between_levels_m3 = 0.025, .drains_back_m3 = 0.006};
    for (const auto& pit : {plain, open}) {
        const PumpCycle cycle = pump_cycle(pit, 4e-4, 1.5e-3);
        const PumpCycle walked = stepped(pit, 4e-4, 1.5e-3);
        CHECK(cycle.state == PitState::cycles);
        CHECK(cycle.fill_s == Approx(walked.fill_s).epsilon(1e-3));
        CHECK(cycle.run_s == Approx(walked.run_s).epsilon(1e-3));
        CHECK(cycle.cycle_s() == cycle.fill_s + cycle.run_s);
    }
}

TEST_CASE("a pump that never starts, never stops or starts at once is told apart", "[flow][pit]")
{
    const PitStorage pit = {.between_levels_m3 = 0.025};
    CHECK(pump_cycle(pit, 0, 1e-3).state == PitState::dry);
    CHECK(pump_cycle(pit, 0.999e-3, 1e-3).state == PitState::cycles);
    CHECK(pump_cycle(pit, 1e-3, 1e-3).state == PitState::falls_behind);
    CHECK(pump_cycle(pit, 2e-3, 1e-3).state == PitState::falls_behind);
    const PitStorage returns = {.between_levels_m3 = 0.025, .drains_back_m3 = 0.025};
    CHECK(pump_cycle(returns, 1e-4, 1e-3).state == PitState::restarts_at_once);
    CHECK(worst_cycle(returns, 1e-3).cycle.state == PitState::restarts_at_once);
}

TEST_CASE("half the pump's flow starts it most often", "[flow][pit]")
{
    // Closed form: V/q + V/(Q - q) is least at q = Q/2, where it is 4 V / Q.
    const WorstCycle worst = worst_cycle({.between_levels_m3 = 0.025}, 1e-3);
    CHECK(worst.inflow_m3ps == Approx(0.5e-3).epsilon(1e-12));
    CHECK(worst.cycle.cycle_s() == Approx(100).epsilon(1e-12));
}

TEST_CASE("the worst inflow holds for random pits", "[flow][pit]")
{
    rc::prop("no other inflow makes a shorter cycle, and the closed form gives its length", [] {
        const double between_m3 = *between(0.005, 0.2);
        const PitStorage pit = {.between_levels_m3 = between_m3, .drains_back_m3 = between_m3 * *between(0, 0.99)};
        const double pump = *between(1e-4, 1e-2);
        const WorstCycle worst = worst_cycle(pit, pump);
        const double root_sum = std::sqrt(between_m3 - pit.drains_back_m3) + std::sqrt(between_m3);
        RC_ASSERT(worst.cycle.cycle_s() == Approx(root_sum * root_sum / pump).epsilon(1e-9));
        for (int i = 1; i < 100; ++i) {
            RC_ASSERT(pump_cycle(pit, pump * i / 100, pump).cycle_s() >= worst.cycle.cycle_s() * (1 - 1e-12));
        }
    });
    rc::prop("what comes in during a cycle is what the pump takes out less what drains back", [] {
        const double between_m3 = *between(0.005, 0.2);
        const PitStorage pit = {.between_levels_m3 = between_m3, .drains_back_m3 = between_m3 * *between(0, 0.99)};
        const double pump = *between(1e-4, 1e-2);
        const double inflow = pump * *between(0.01, 0.99);
        const PumpCycle cycle = pump_cycle(pit, inflow, pump);
        RC_ASSERT(inflow * cycle.cycle_s() == Approx(pump * cycle.run_s - pit.drains_back_m3).epsilon(1e-9));
    });
}

TEST_CASE("pits and flows out of range stop the run", "[flow][pit]")
{
    const PitStorage pit = {.between_levels_m3 = 0.025};
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {nan, -1.0, std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(pump_cycle({.between_levels_m3 = bad}, 1e-4, 1e-3), Error);
        CHECK_THROWS_AS(pump_cycle({.between_levels_m3 = 1, .drains_back_m3 = bad}, 1e-4, 1e-3), Error);
        CHECK_THROWS_AS(pump_cycle(pit, bad, 1e-3), Error);
        CHECK_THROWS_AS(pump_cycle(pit, 1e-4, bad), Error);
        CHECK_THROWS_AS(worst_cycle(pit, bad), Error);
        CHECK_THROWS_AS(round_pit_volume_m3(bad, 1), Error);
        CHECK_THROWS_AS(round_pit_volume_m3(1, bad), Error);
    }
    CHECK_THROWS_AS(pump_cycle({.between_levels_m3 = 0}, 1e-4, 1e-3), Error);
    CHECK_THROWS_AS(worst_cycle(pit, 0), Error);
}
