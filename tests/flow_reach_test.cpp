#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/part_full.hpp"
#include "trenchwright/flow/reach.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <numbers>

using namespace trenchwright;
using namespace flow_units;

namespace {

// Bores of 3, 4 and 6 in, n 0.011: G4 gives 47.84, 103.03 and 303.77 gpm full at 1/8 in per ft.
const std::vector<PipeBore> sizes = {{.bore_m = 3 * inch_in_m, .manning_n = 0.011},
                                     {.bore_m = 4 * inch_in_m, .manning_n = 0.011},
                                     {.bore_m = 6 * inch_in_m, .manning_n = 0.011}};
constexpr double eighth = 1.0 / 96;

// docs/sources.md, S9, S10: not below 2 nor above 10 ft/s running full (ASPE Data Book vol. 2, p. 88; Lakeside TX
// sec. 3.3.8).
const FlowLimits limits = {.min_velocity_mps = 2 * ft_in_m, .max_velocity_mps = 10 * ft_in_m};

bool has(const ReachFlow& reach, FlowVerdict verdict)
{
    return std::find(reach.verdicts.begin(), reach.verdicts.end(), verdict) != reach.verdicts.end();
}

} // namespace

TEST_CASE("a reach gets the smallest pipe that carries its flow", "[flow][reach]")
{
    const auto chosen = [](double gpm) { return size_reach(gpm * gpm_in_m3ps, eighth, sizes, limits).pipe; };
    CHECK(chosen(0) == 0);
    CHECK(chosen(47.8) == 0);
    CHECK(chosen(47.9) == 1);
    CHECK(chosen(103.0) == 1);
    CHECK(chosen(103.1) == 2);
    CHECK(chosen(303.7) == 2);
    CHECK_FALSE(chosen(304).has_value());
}

TEST_CASE("a sized reach tells how its water runs", "[flow][reach]")
{
    // Half of the full flow runs half full at the full pipe's velocity (P3).
    const ReachFlow half = size_reach(103.03 / 2 * gpm_in_m3ps, eighth, sizes, limits);
    CHECK(half.pipe == 1);
    CHECK(half.depth_ratio == Approx(0.5).epsilon(0.001));
    CHECK(half.velocity_mps / ft_in_m == Approx(2.631).epsilon(0.001));
    CHECK(half.full_velocity_mps / ft_in_m == Approx(2.631).epsilon(0.0005));
    CHECK(half.capacity_m3ps / gpm_in_m3ps == Approx(103.03).epsilon(0.0005));
    CHECK(half.spare_m3ps / gpm_in_m3ps == Approx(103.03 / 2).epsilon(0.001));
    CHECK(half.verdicts.empty());
}

TEST_CASE("the depth allowed decides the pipe", "[flow][reach]")
{
    // docs/sources.md, P4: three quarters full carries 0.91188 of full flow: 93.95 gpm of 103.03 in the 4 in pipe.
    FlowLimits shallow = limits;
    shallow.max_depth_ratio = 0.75;
    CHECK(size_reach(93.8 * gpm_in_m3ps, eighth, sizes, shallow).pipe == 1);
    CHECK(size_reach(94.1 * gpm_in_m3ps, eighth, sizes, shallow).pipe == 2);
    CHECK(size_reach(94.1 * gpm_in_m3ps, eighth, sizes, limits).pipe == 1);
}

TEST_CASE("too slow, too fast, too full and no pipe are said", "[flow][reach]")
{
    const double flow = 20 * gpm_in_m3ps;
    // docs/sources.md, G10: full velocities go with the root of the slope: 2.171 ft/s (G4) in the 3 in at 1/96.
    const double at_2_fps = eighth * (2 / 2.171) * (2 / 2.171);
    CHECK(has(size_reach(flow, at_2_fps * 0.99, sizes, limits), FlowVerdict::too_slow));
    CHECK_FALSE(has(size_reach(flow, at_2_fps * 1.01, sizes, limits), FlowVerdict::too_slow));

    const double steep = eighth * 25; // 10.9 ft/s full
    CHECK(has(size_reach(47.84 * 5 / 2 * gpm_in_m3ps, steep, sizes, limits), FlowVerdict::too_fast));
    CHECK_FALSE(has(size_reach(flow, eighth, sizes, limits), FlowVerdict::too_fast));

    const ReachFlow full = reach_flow(104 * gpm_in_m3ps, eighth, sizes[1], limits);
    CHECK(full.verdicts == std::vector{FlowVerdict::too_full});
    CHECK_FALSE(full.pipe.has_value());
    CHECK(full.depth_ratio == Approx(part_full_depth_ratio(104 / 103.03).value()).epsilon(0.001));

    const ReachFlow none = size_reach(400 * gpm_in_m3ps, eighth, sizes, limits);
    CHECK(has(none, FlowVerdict::no_pipe_carries));
    CHECK_FALSE(none.pipe.has_value());
    CHECK(none.capacity_m3ps / gpm_in_m3ps == Approx(303.77).epsilon(0.0005));
    CHECK(none.spare_m3ps / gpm_in_m3ps == Approx(303.77 - 400).epsilon(0.001));
    CHECK(none.depth_ratio == 1);
    CHECK(none.velocity_mps == Approx(400 * gpm_in_m3ps / (std::numbers::pi / 4 * 36 * inch_in_m * inch_in_m)));
}

TEST_CASE("the least velocity may be asked of the flow itself", "[flow][reach]")
{
    FlowLimits of_flow = limits;
    of_flow.min_velocity_when_full = false;
    // docs/sources.md, P1: at a tenth of the depth 0.02088 of full flow runs at 0.40116 of full velocity, 1.06 of 2.631
    // ft/s.
    const double trickle = 0.02088 * 103.03 * gpm_in_m3ps;
    CHECK(has(reach_flow(trickle, eighth, sizes[1], of_flow), FlowVerdict::too_slow));
    CHECK_FALSE(has(reach_flow(trickle, eighth, sizes[1], limits), FlowVerdict::too_slow));
    CHECK(reach_flow(0, eighth, sizes[1], of_flow).verdicts.empty());
}

TEST_CASE("a level reach has no pipe unless it has no flow", "[flow][reach]")
{
    CHECK_FALSE(size_reach(1e-6, 0, sizes, limits).pipe.has_value());
    CHECK(size_reach(0, 0, sizes, limits).pipe == 0);
    CHECK_FALSE(pipes_side_by_side(1e-6, 0, sizes[0], limits).has_value());
    CHECK_FALSE(pipes_side_by_side(0, 0, sizes[0], limits).has_value());
}

TEST_CASE("pipes of a lower size are counted for a low curb", "[flow][reach]")
{
    const auto count = [](double gpm) { return pipes_side_by_side(gpm * gpm_in_m3ps, eighth, sizes[0], limits); };
    CHECK(count(0) == 1);
    CHECK(count(47.8) == 1);
    CHECK(count(47.9) == 2);
    CHECK(count(103.03) == 3);
}

TEST_CASE("sizing holds for random flows, falls and lists", "[flow][reach]")
{
    const auto pipes = rc::gen::nonEmpty(rc::gen::container<std::vector<PipeBore>>(
        rc::gen::apply([](int inches, double n) { return PipeBore{.bore_m = inches * inch_in_m, .manning_n = n}; },
                       rc::gen::inRange(1, 13), between(0.009, 0.025))));
    rc::prop("the chosen pipe carries the flow at the depth allowed and no smaller one does", [&] {
        const auto list = *pipes;
        const double flow = *between(0, 0.1);
        const double fall = *between(0.001, 0.1);
        FlowLimits any = limits;
        any.max_depth_ratio = *between(0.2, 1);
        const ReachFlow reach = size_reach(flow, fall, list, any);
        for (std::size_t i = 0; i < list.size(); ++i) {
            // Not through capacity_m3ps: by the depth at which the flow runs.
            const auto depth = flow_depth_ratio(list[i], fall, flow);
            const bool carries =
                depth && *depth <= any.max_depth_ratio * (1 + 1e-12) && flow <= full_flow(list[i], fall).flow_m3ps;
            const bool none_smaller = !carries || (reach.pipe && list[*reach.pipe].bore_m <= list[i].bore_m);
            RC_ASSERT(none_smaller);
            if (reach.pipe == i) {
                RC_ASSERT(carries);
            }
        }
        RC_ASSERT(has(reach, FlowVerdict::no_pipe_carries) == !reach.pipe.has_value());
        RC_ASSERT(has(reach, FlowVerdict::too_full) == !reach.pipe.has_value());
    });
    rc::prop("more fall never asks for a larger pipe", [&] {
        const auto list = *pipes;
        const double flow = *between(0, 0.05);
        const double fall = *between(0.001, 0.1);
        const ReachFlow flat = size_reach(flow, fall, list, limits);
        const ReachFlow steep = size_reach(flow, 2 * fall, list, limits);
        // Named first: RC_ASSERT takes its expression apart and would look into a pipe that is not there.
        const bool no_larger = !flat.pipe || (steep.pipe && list[*steep.pipe].bore_m <= list[*flat.pipe].bore_m);
        RC_ASSERT(no_larger);
    });
}

TEST_CASE("of equal bores the first that carries is taken", "[flow][reach]")
{
    const std::vector<PipeBore> twins = {{.bore_m = 0.1, .manning_n = 0.024}, {.bore_m = 0.1, .manning_n = 0.010}};
    const double between_them = (full_flow(twins[0], 0.01).flow_m3ps + full_flow(twins[1], 0.01).flow_m3ps) / 2;
    CHECK(size_reach(between_them, 0.01, twins, limits).pipe == 1);
    CHECK(size_reach(between_them / 4, 0.01, twins, limits).pipe == 0);
}

TEST_CASE("limits, lists and flows out of range stop the run", "[flow][reach]")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(size_reach(0.001, 0.01, {}, limits), Error);
    for (const double bad : {nan, -1.0}) {
        CHECK_THROWS_AS(size_reach(bad, 0.01, sizes, limits), Error);
        CHECK_THROWS_AS(size_reach(0.001, bad, sizes, limits), Error);
        FlowLimits wrong = limits;
        wrong.min_velocity_mps = bad;
        CHECK_THROWS_AS(size_reach(0.001, 0.01, sizes, wrong), Error);
        wrong = limits;
        wrong.max_velocity_mps = bad;
        CHECK_THROWS_AS(reach_flow(0.001, 0.01, sizes[0], wrong), Error);
        wrong = limits;
        wrong.max_depth_ratio = bad;
        CHECK_THROWS_AS(pipes_side_by_side(0.001, 0.01, sizes[0], wrong), Error);
    }
    FlowLimits crossed = limits;
    crossed.max_velocity_mps = crossed.min_velocity_mps;
    CHECK_THROWS_AS(size_reach(0.001, 0.01, sizes, crossed), Error);
}
