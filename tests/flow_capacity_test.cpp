#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/part_full.hpp"
#include "trenchwright/flow/pipe_capacity.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

using namespace trenchwright;
using namespace flow_units;

namespace {

// Manning's K in US units is (1 m / 1 ft)^(1/3) = 1.48592; publications round it.
const double exact_us_k = std::cbrt(1 / ft_in_m);

PipeBore pipe_in(double bore_in, double n)
{
    return {.bore_m = bore_in * inch_in_m, .manning_n = n};
}

double full_gpm(double bore_in, double n, double fall)
{
    return full_flow(pipe_in(bore_in, n), fall).flow_m3ps / gpm_in_m3ps;
}

double full_fps(double bore_in, double n, double fall)
{
    return full_flow(pipe_in(bore_in, n), fall).velocity_mps / ft_in_m;
}

double fall_for_fps(double bore_in, double n, double fps)
{
    return fall_for_velocity_ratio(pipe_in(bore_in, n), fps * ft_in_m);
}

} // namespace

TEST_CASE("Manning's formula for a full pipe has the handbook's coefficients", "[flow][capacity]")
{
    // docs/sources.md, G1: HEC-22 4th ed., eq. 4.5 with K 1.486: V = 0.590/n D^(2/3) S^(1/2), Q = 0.463/n D^(8/3)
    // S^(1/2).
    CHECK(full_fps(12, 1, 1) == Approx(0.590).epsilon(0.001));
    CHECK(full_flow(pipe_in(12, 1), 1).flow_m3ps / cu_ft_in_m3 == Approx(0.463).epsilon(0.001));
    // docs/sources.md, G2: HEC-22 4th ed., ex. 4.2 step 1c, K 1.49: 15 in, n 0.011, 0.8 %, 479 ft.
    const double g2_fps = full_fps(15, 0.011, 0.008) * 1.49 / exact_us_k;
    CHECK(g2_fps == Approx(5.58).margin(0.005));
    CHECK(479 / g2_fps / 60 == Approx(1.43).margin(0.05));
    // docs/sources.md, G3: worked figures on a public page, K 1.49, D rounded to 0.667 ft and R to 0.167 ft.
    CHECK(full_flow(pipe_in(8, 0.013), 0.005).flow_m3ps / cu_ft_in_m3 * 1.49 / exact_us_k ==
          Approx(0.854).epsilon(0.005));
    CHECK(full_fps(8, 0.013, 0.005) * 1.49 / exact_us_k == Approx(2.448).epsilon(0.005));
}

TEST_CASE("full pipes carry what arithmetic with K 1.486 gives", "[flow][capacity]")
{
    struct Row {
        const char* id;
        double bore_in, n, fall, gpm, fps;
    };
    const auto row = GENERATE(values<Row>({{"G4", 3, 0.011, 1.0 / 96, 47.84, 2.171},
                                           {"G4", 4, 0.011, 1.0 / 96, 103.03, 2.631},
                                           {"G4", 6, 0.011, 1.0 / 96, 303.77, 3.447},
                                           {"G5", 4, 0.015, 0.01, 74.03, 1.890},
                                           {"G6", 4, 0.018, 0.01, 61.69, 1.575},
                                           {"G7", 4, 0.024, 0.01, 46.27, 1.181},
                                           {"G8", 6, 0.015, 0.005, 154.3, 1.751},
                                           {"G9", 12, 0.013, 0.01, 3.563 * 448.831, 4.536}}));
    INFO(row.id);
    CHECK(full_gpm(row.bore_in, row.n, row.fall) == Approx(row.gpm).epsilon(0.0005));
    CHECK(full_fps(row.bore_in, row.n, row.fall) == Approx(row.fps).epsilon(0.0005));
}

TEST_CASE("the newer plumbing code's table is Manning with n 0.010 and the Schedule 40 bore", "[flow][capacity]")
{
    // docs/sources.md, C2, C3, C5 to C8: IPC 2018 table 1106.2, gpm at 1/16, 1/8, 1/4, 1/2 in per ft, in a public
    // reproduction. Its 2, 5 and 15 in rows do not fit their neighbors and are left out.
    struct Row {
        const char* id;
        double bore_in, tolerance;
        std::vector<double> gpm;
    };
    const auto row = GENERATE(values<Row>({{"C2", 3.068, 0.02, {39, 55, 79, 111}},
                                           {"C3", 4.026, 0.01, {81, 115, 163, 231}},
                                           {"C5", 6.065, 0.005, {243, 344, 487, 689}},
                                           {"C6", 7.981, 0.005, {505, 714, 1010, 1429}},
                                           {"C7", 10.02, 0.005, {927, 1311, 1855, 2623}},
                                           {"C8", 11.938, 0.005, {1480, 2093, 2960, 4187}}}));
    INFO(row.id);
    double fall = 1.0 / 16 * in_per_ft;
    for (const double gpm : row.gpm) {
        CHECK(full_gpm(row.bore_in, 0.010, fall) == Approx(gpm).epsilon(row.tolerance));
        fall *= 2;
    }
}

TEST_CASE("the older plumbing code's table implies n 0.015", "[flow][capacity]")
{
    // docs/sources.md, C13: arithmetic on C12: 222.3 gpm in a 6 in bore at 1/8 in per ft.
    CHECK(full_gpm(6, 1, 1.0 / 96) / 222.3 == Approx(0.0150).margin(0.0002));
}

TEST_CASE("least slopes of sewer codes give 2 ft/s", "[flow][capacity]")
{
    // docs/sources.md, S4, S5: Purcell OK code sec. 12-488 (as the Ten States Standards), n 0.013. Its 10 in row is a
    // misprint.
    struct Row {
        double bore_in, percent, fps;
    };
    const auto row = GENERATE(values<Row>({{8, 0.40, 2.19},
                                           {12, 0.22, 2.13},
                                           {14, 0.17, 2.07},
                                           {15, 0.15, 2.04},
                                           {16, 0.14, 2.06},
                                           {18, 0.12, 2.06},
                                           {21, 0.10, 2.08},
                                           {24, 0.08, 2.04}}));
    INFO("S5 " << row.bore_in << " in");
    const double fps = full_fps(row.bore_in, 0.013, row.percent / 100);
    CHECK(fps == Approx(row.fps).margin(0.006));
    CHECK(fps >= 2.0);
    CHECK(fps <= 2.2);
}

TEST_CASE("slopes for 3 ft/s match the drainage manuals", "[flow][capacity]")
{
    struct Row {
        const char* id;
        double bore_in, n, fall;
    };
    // docs/sources.md, S7: state drainage manual fig. 6-3, as quoted; S8: HEC-22 3rd ed. minimum-slope table.
    const auto row = GENERATE(values<Row>({{"S7", 12, 0.013, 0.0044},
                                           {"S7", 15, 0.013, 0.0032},
                                           {"S7", 18, 0.013, 0.0025},
                                           {"S7", 24, 0.013, 0.0017},
                                           {"S8", 8, 0.012, 0.0064},
                                           {"S8", 8, 0.013, 0.0075},
                                           {"S8", 8, 0.024, 0.0256}}));
    INFO(row.id << " " << row.bore_in << " in");
    CHECK(fall_for_fps(row.bore_in, row.n, 3) == Approx(row.fall).margin(0.0001));
}

TEST_CASE("least grades of subsurface drains match the extension tables", "[flow][capacity]")
{
    // docs/sources.md, D2 to D5: extension minimum-grade table after NRCS practice, 3, 4, 5 and 6 in.
    struct Row {
        const char* id;
        double n, fps, tolerance;
        std::vector<double> percent;
    };
    const auto row = GENERATE(values<Row>({{"D2", 0.015, 0.5, 0.005, {0.10, 0.07, 0.05, 0.04}},
                                           {"D3", 0.015, 1.4, 0.006, {0.81, 0.55, 0.41, 0.32}},
                                           {"D4", 0.013, 0.5, 0.005, {0.08, 0.05, 0.04, 0.03}},
                                           {"D5", 0.013, 1.4, 0.007, {0.60, 0.41, 0.30, 0.24}}}));
    INFO(row.id);
    double bore_in = 3;
    for (const double percent : row.percent) {
        CHECK(100 * fall_for_fps(bore_in, row.n, row.fps) == Approx(percent).margin(row.tolerance));
        ++bore_in;
    }
}

TEST_CASE("a part-full pipe has the closed form's shares", "[flow][capacity]")
{
    struct Row {
        const char* id;
        double depth, area, radius, velocity, flow, tolerance;
    };
    const auto row = GENERATE(values<Row>({{"P1", 0.10, 0.05204, 0.25408, 0.40116, 0.02088, 1e-5},
                                           {"P2", 0.25, 0.19550, 0.58650, 0.70067, 0.13698, 1e-5},
                                           {"P3", 0.50, 0.5, 1, 1, 0.5, 1e-12},
                                           {"P4", 0.75, 0.80450, 1.20675, 1.13347, 0.91188, 1e-5},
                                           {"P5", 0.80, 0.85762, 1.21677, 1.13974, 0.97747, 1e-5},
                                           {"P9", 1.00, 1, 1, 1, 1, 1e-12}}));
    INFO(row.id);
    const PartFull part = part_full(row.depth);
    CHECK(part.area_ratio == Approx(row.area).margin(row.tolerance));
    CHECK(part.hydraulic_radius_ratio == Approx(row.radius).margin(row.tolerance));
    CHECK(part.velocity_ratio == Approx(row.velocity).margin(row.tolerance));
    CHECK(part.flow_ratio == Approx(row.flow).margin(row.tolerance));
}

TEST_CASE("a part-full pipe matches the printed table of 1911", "[flow][capacity]")
{
    // docs/sources.md, P10 to P14: Encyclopaedia Britannica, 11th ed., vol. 14, "Hydraulics": figures in radii.
    struct Row {
        const char* id;
        double depth, radius, area;
    };
    const auto row = GENERATE(values<Row>({{"P10", 0.50, 0.293, 0.614},
                                           {"P11", 0.70, 0.387, 0.979},
                                           {"P12", 0.75, 0.408, 1.075},
                                           {"P13", 0.90, 0.466, 1.371},
                                           {"P14", 1.00, 0.500, 1.571}}));
    INFO(row.id);
    const PartFull part = part_full(row.depth / 2);
    CHECK(part.hydraulic_radius_ratio / 2 == Approx(row.radius).epsilon(0.002));
    CHECK(part.area_ratio * std::numbers::pi == Approx(row.area).epsilon(0.002));
}

TEST_CASE("the fastest and the fullest depth are where they should be", "[flow][capacity]")
{
    // docs/sources.md, P6: textbook 0.81 and 1.14; P8: textbook 0.938 and 1.076; P7: closed form.
    CHECK(fastest_depth_ratio == Approx(0.8128).margin(0.001));
    CHECK(part_full(fastest_depth_ratio).velocity_ratio == Approx(1.1400).margin(1e-4));
    CHECK(fullest_depth_ratio == Approx(0.9382).margin(0.001));
    CHECK(max_flow_ratio() == Approx(1.0757).margin(1e-4));
    CHECK(part_full_depth_ratio(1).value() == Approx(0.8196).margin(0.001));
    // Against every depth by hundred-thousandths.
    for (int i = 0; i <= 100000; ++i) {
        const PartFull part = part_full(i / 1e5);
        if (!(part.velocity_ratio <= part_full(fastest_depth_ratio).velocity_ratio) ||
            !(part.flow_ratio <= max_flow_ratio())) {
            FAIL("greater at a depth ratio of " << i / 1e5);
        }
    }
}

TEST_CASE("part-full area is the integral of the water's width", "[flow][capacity]")
{
    // Midpoint sum of 2 sqrt(y (1 - y)) over a bore of 1, against a full area of pi/4.
    double area = 0;
    const int steps = 200000;
    for (int i = 0; i < steps; ++i) {
        const double y = (i + 0.5) / steps;
        area += 2 * std::sqrt(y * (1 - y)) / steps;
        if ((i + 1) % (steps / 10) == 0) {
            CHECK(part_full((i + 1.0) / steps).area_ratio == Approx(area / (std::numbers::pi / 4)).margin(1e-7));
        }
    }
}

TEST_CASE("the depth for a flow is the lower one, and none above the greatest flow", "[flow][capacity]")
{
    CHECK(part_full_depth_ratio(0) == 0.0);
    CHECK(part_full_depth_ratio(max_flow_ratio()) == fullest_depth_ratio);
    CHECK_FALSE(part_full_depth_ratio(std::nextafter(max_flow_ratio(), 2)).has_value());
    CHECK_FALSE(part_full_depth_ratio(1.0758).has_value());

    const PipeBore pipe = pipe_in(4, 0.011);
    const double full = full_flow(pipe, 0.01).flow_m3ps;
    CHECK(flow_depth_ratio(pipe, 0.01, 1.0756 * full).value() < fullest_depth_ratio);
    CHECK_FALSE(flow_depth_ratio(pipe, 0.01, 1.0758 * full).has_value());
    CHECK(flow_depth_ratio(pipe, 0, 0) == 0.0);
    CHECK_FALSE(flow_depth_ratio(pipe, 0, 1e-9).has_value());
}

TEST_CASE("pipe capacity properties hold for random pipes", "[flow][capacity]")
{
    const auto pipes = rc::gen::apply([](double bore, double n) { return PipeBore{.bore_m = bore, .manning_n = n}; },
                                      between(0.02, 1), between(0.008, 0.03));
    rc::prop("G10: four times the slope doubles flow and velocity exactly", [&] {
        const PipeBore pipe = *pipes;
        const double fall = *between(1e-5, 0.2);
        const PipeFlow once = full_flow(pipe, fall);
        const PipeFlow steep = full_flow(pipe, 4 * fall);
        RC_ASSERT(steep.flow_m3ps == Approx(2 * once.flow_m3ps).epsilon(1e-12));
        RC_ASSERT(steep.velocity_mps == Approx(2 * once.velocity_mps).epsilon(1e-12));
    });
    rc::prop("G11: twice the bore carries 2^(8/3) times as much, 2^(2/3) times as fast", [&] {
        const PipeBore pipe = *pipes;
        const PipeFlow once = full_flow(pipe, 0.01);
        const PipeFlow wide = full_flow({.bore_m = 2 * pipe.bore_m, .manning_n = pipe.manning_n}, 0.01);
        RC_ASSERT(wide.flow_m3ps / once.flow_m3ps == Approx(6.3496).epsilon(1e-6).margin(1e-5));
        RC_ASSERT(wide.velocity_mps / once.velocity_mps == Approx(std::cbrt(4.0)).epsilon(1e-6));
    });
    rc::prop("the flow at the depth for a flow is that flow, at the lower depth", [&] {
        const PipeBore pipe = *pipes;
        const double fall = *between(1e-5, 0.2);
        const double flow = full_flow(pipe, fall).flow_m3ps * *between(1e-6, max_flow_ratio());
        const double depth = flow_depth_ratio(pipe, fall, flow).value();
        RC_ASSERT(depth > 0);
        RC_ASSERT(depth <= fullest_depth_ratio);
        RC_ASSERT(flow_at_depth(pipe, fall, depth).flow_m3ps == Approx(flow).epsilon(1e-9));
    });
    rc::prop("the depth for the flow at a depth is that depth, up to the fullest", [&] {
        const PipeBore pipe = *pipes;
        // Flow hardly changes near the fullest depth, so the depth is only as sharp as a root of rounding.
        const double depth = *between(1e-3, 0.93);
        const double flow = flow_at_depth(pipe, 0.01, depth).flow_m3ps;
        RC_ASSERT(flow_depth_ratio(pipe, 0.01, flow).value() == Approx(depth).epsilon(1e-9));
    });
    rc::prop("a deeper flow is a greater flow below the fullest depth and a smaller one above", [] {
        const double shallow = *between(0, 1);
        const double deep = *between(0, 1);
        RC_PRE(shallow < deep);
        RC_PRE(deep <= fullest_depth_ratio || shallow >= fullest_depth_ratio);
        const bool rises = part_full(shallow).flow_ratio < part_full(deep).flow_ratio;
        RC_ASSERT(rises == (deep <= fullest_depth_ratio));
    });
    rc::prop("capacity rises with the depth allowed and is never above full flow", [&] {
        const PipeBore pipe = *pipes;
        const double shallow = *between(0.01, 1);
        const double deep = *between(0.01, 1);
        RC_PRE(shallow < deep);
        const double full = full_flow(pipe, 0.01).flow_m3ps;
        RC_ASSERT(capacity_m3ps(pipe, 0.01, shallow) <= capacity_m3ps(pipe, 0.01, deep));
        RC_ASSERT(capacity_m3ps(pipe, 0.01, deep) <= full);
        RC_ASSERT(capacity_m3ps(pipe, 0.01, 0.8) == Approx(flow_at_depth(pipe, 0.01, 0.8).flow_m3ps).epsilon(1e-12));
    });
    rc::prop("the minimum fall for a velocity or capacity gives just that", [&] {
        const PipeBore pipe = *pipes;
        const double velocity = *between(0.01, 5);
        RC_ASSERT(full_flow(pipe, fall_for_velocity_ratio(pipe, velocity)).velocity_mps ==
                  Approx(velocity).epsilon(1e-12));
        const double flow = *between(1e-4, 0.1);
        const double depth = *between(0.05, 1);
        RC_ASSERT(capacity_m3ps(pipe, fall_for_capacity_ratio(pipe, flow, depth), depth) ==
                  Approx(flow).epsilon(1e-12));
    });
}

TEST_CASE("pipes, falls and depths out of range stop the run", "[flow][capacity]")
{
    const PipeBore pipe = pipe_in(4, 0.011);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {nan, -0.1, std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(full_flow({.bore_m = bad, .manning_n = 0.011}, 0.01), Error);
        CHECK_THROWS_AS(full_flow({.bore_m = 0.1, .manning_n = bad}, 0.01), Error);
        CHECK_THROWS_AS(full_flow(pipe, bad), Error);
        CHECK_THROWS_AS(part_full(bad), Error);
        CHECK_THROWS_AS(part_full_depth_ratio(bad), Error);
        CHECK_THROWS_AS(flow_depth_ratio(pipe, 0.01, bad), Error);
        CHECK_THROWS_AS(capacity_m3ps(pipe, 0.01, bad), Error);
        CHECK_THROWS_AS(fall_for_velocity_ratio(pipe, bad), Error);
        CHECK_THROWS_AS(fall_for_capacity_ratio(pipe, bad, 1), Error);
    }
    CHECK_THROWS_AS(part_full(std::nextafter(1.0, 2.0)), Error);
    CHECK_THROWS_AS(full_flow({.bore_m = 0, .manning_n = 0.011}, 0.01), Error);
    CHECK_THROWS_AS(full_flow({.bore_m = 0.1, .manning_n = 0}, 0.01), Error);
    CHECK_THROWS_AS(capacity_m3ps(pipe, 0.01, 0), Error);
}
