#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/pump_duty.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>

using namespace trenchwright;
using namespace flow_units;

namespace {

using Curve = std::vector<CurvePoint>;

// docs/sources.md, T1: lift 8 ft, 40 ft of 1 1/2 in, 3 elbows, check and gate valve (F1, F5, F6).
const PumpLine t1 = {.pipe = {.bore_m = 1.610 * inch_in_m, .hazen_williams_c = 150},
                     .length_m = 40 * ft_in_m,
                     .rising_length_m = 10 * ft_in_m,
                     .static_lift_m = 8 * ft_in_m,
                     .fittings = {{"90 degree elbow", 3, 4.03 * ft_in_m},
                                  {"check valve", 1, 13.40 * ft_in_m},
                                  {"gate valve", 1, 1.07 * ft_in_m}}};

const PumpLimits limits = {.min_velocity_mps = 2 * ft_in_m, .max_velocity_mps = 10 * ft_in_m};

CurvePoint us(double gpm, double head_ft)
{
    return {.flow_m3ps = gpm * gpm_in_m3ps, .head_m = head_ft * ft_in_m};
}

PumpLine without_friction(double lift_m)
{
    PumpLine line = t1;
    line.length_m = 0;
    line.rising_length_m = 0;
    line.fittings.clear();
    line.static_lift_m = lift_m;
    return line;
}

Curve random_curve()
{
    Curve curve = {{.flow_m3ps = 0, .head_m = *between(2, 20)}};
    const int more = *rc::gen::inRange(1, 8);
    for (int i = 0; i < more; ++i) {
        curve.push_back({.flow_m3ps = curve.back().flow_m3ps + *between(1e-5, 2e-3),
                         .head_m = curve.back().head_m * *between(0.1, 0.99)});
    }
    return curve;
}

PumpLine random_line()
{
    PumpLine line = t1;
    line.pipe.bore_m = *between(0.025, 0.1);
    line.length_m = *between(4, 100);
    line.static_lift_m = *between(0, 10);
    line.counts_velocity_head = *rc::gen::arbitrary<bool>();
    return line;
}

bool has(const PumpDuty& duty, PumpVerdict verdict)
{
    return std::find(duty.verdicts.begin(), duty.verdicts.end(), verdict) != duty.verdicts.end();
}

constexpr double storage_m3 = 7 * gallon_in_m3;

} // namespace

TEST_CASE("total head is lift and friction in pipe and fittings", "[flow][pump]")
{
    // docs/sources.md, T1: 66.56 ft of pipe at 25 gpm; friction 2.496 ft by the table H4, 2.503 by the equation.
    CHECK(total_head_m(t1, 25 * gpm_in_m3ps) / ft_in_m == Approx(10.50).margin(0.02));
    CHECK(total_head_m(t1, 25 * gpm_in_m3ps) / ft_in_m - 8 == Approx(2.503).margin(0.001));
    // docs/sources.md, T2: the same with 2 in at 30 gpm.
    PumpLine t2 = t1;
    t2.pipe.bore_m = 2.067 * inch_in_m;
    t2.fittings = {
        {"90 degree elbow", 3, 5.17 * ft_in_m}, {"check valve", 1, 17.20 * ft_in_m}, {"gate valve", 1, 1.38 * ft_in_m}};
    CHECK(total_head_m(t2, 30 * gpm_in_m3ps) / ft_in_m == Approx(9.14).margin(0.02));
    // docs/sources.md, T3: velocity head at 25 gpm in 1 1/2 in.
    PumpLine t3 = t1;
    t3.counts_velocity_head = true;
    CHECK((total_head_m(t3, 25 * gpm_in_m3ps) - total_head_m(t1, 25 * gpm_in_m3ps)) / ft_in_m ==
          Approx(0.241).margin(0.001));
    CHECK(total_head_m(t1, 0) == t1.static_lift_m);
}

TEST_CASE("without friction the duty is plain geometry", "[flow][pump]")
{
    // Head 10 (1 - q / 0.004) meets a lift of 6 m at q = 0.0016.
    const Curve curve = {{0, 10}, {0.004, 0}};
    const OperatingPoint point = operating_point(curve, without_friction(6));
    CHECK(point.place == DutyPlace::on_curve);
    CHECK(point.flow_m3ps == Approx(0.0016).epsilon(1e-12));
    CHECK(point.head_m == Approx(6).epsilon(1e-12));
}

TEST_CASE("a curve drawn through the line's own head at 25 gpm works there", "[flow][pump]")
{
    // docs/sources.md, T1's head at 25 gpm by arithmetic: 8 + 66.56 ft x 3.760 / 100 (computed column of H4).
    const Curve curve = {us(0, 20), us(25, 8 + 66.56 * 0.03760), us(40, 2)};
    const OperatingPoint point = operating_point(curve, t1);
    CHECK(point.flow_m3ps / gpm_in_m3ps == Approx(25).margin(0.02));
    CHECK(point.head_m / ft_in_m == Approx(10.50).margin(0.02));
}

TEST_CASE("a duty outside the curve is said, never guessed", "[flow][pump]")
{
    const Curve curve = {{0, 5}, {0.001, 4}, {0.002, 2}};
    CHECK(operating_point(curve, without_friction(5.01)).place == DutyPlace::cannot_lift);
    CHECK(operating_point(curve, without_friction(5)).place == DutyPlace::cannot_lift);
    CHECK(operating_point(curve, without_friction(4.99)).place == DutyPlace::on_curve);
    CHECK(operating_point(curve, without_friction(2)).flow_m3ps == Approx(0.002));
    CHECK(operating_point(curve, without_friction(1.99)).place == DutyPlace::past_last_point);
    const Curve late = {{0.001, 4}, {0.002, 2}};
    CHECK(operating_point(late, without_friction(4.01)).place == DutyPlace::before_first_point);
    CHECK(operating_point(late, without_friction(4)).flow_m3ps == Approx(0.001));

    CHECK(curve_head_m(curve, 0.0015) == Approx(3));
    CHECK(curve_head_m(curve, 0.001) == 4.0);
    CHECK_FALSE(curve_head_m(curve, 0.0021).has_value());
    CHECK_FALSE(curve_head_m(late, 0.0009).has_value());
}

TEST_CASE("the operating point holds for random curves and lines", "[flow][pump]")
{
    rc::prop("it lies on the pump's curve and on the line's", [] {
        const Curve curve = random_curve();
        const PumpLine line = random_line();
        const OperatingPoint point = operating_point(curve, line);
        if (point.place == DutyPlace::cannot_lift) {
            RC_ASSERT(line.static_lift_m >= curve.front().head_m);
        } else if (point.place == DutyPlace::past_last_point) {
            RC_ASSERT(total_head_m(line, curve.back().flow_m3ps) < curve.back().head_m);
        } else {
            RC_ASSERT(point.place == DutyPlace::on_curve);
            RC_ASSERT(curve_head_m(curve, point.flow_m3ps).value() == Approx(point.head_m).epsilon(1e-12));
            RC_ASSERT(total_head_m(line, point.flow_m3ps) == Approx(point.head_m).epsilon(1e-9));
        }
    });
    rc::prop("stepping along the curve finds no other place where they cross", [] {
        const Curve curve = random_curve();
        const PumpLine line = random_line();
        const OperatingPoint point = operating_point(curve, line);
        RC_PRE(point.place == DutyPlace::on_curve);
        for (int i = 0; i < 200; ++i) {
            const double flow = curve.back().flow_m3ps * i / 200;
            if (std::abs(flow - point.flow_m3ps) < 1e-9) {
                continue;
            }
            const bool lifts = curve_head_m(curve, flow).value() > total_head_m(line, flow);
            RC_ASSERT(lifts == (flow < point.flow_m3ps));
        }
    });
    rc::prop("more lift, a longer or a narrower line never moves more", [] {
        const Curve curve = random_curve();
        const PumpLine line = random_line();
        const OperatingPoint point = operating_point(curve, line);
        RC_PRE(point.place == DutyPlace::on_curve);
        PumpLine higher = line;
        higher.static_lift_m += *between(0, 2);
        PumpLine longer = line;
        longer.length_m += *between(0, 50);
        PumpLine narrower = line;
        narrower.pipe.bore_m *= *between(0.5, 1);
        for (const auto& worse : {higher, longer, narrower}) {
            RC_ASSERT(operating_point(curve, worse).flow_m3ps <= point.flow_m3ps * (1 + 1e-12));
        }
    });
}

TEST_CASE("a pump's duty tells what is wrong", "[flow][pump]")
{
    const Curve good = {us(0, 20), us(25, 8 + 66.56 * 0.03760), us(40, 2)};
    const double inflow = 5 * gpm_in_m3ps;
    const PumpDuty duty = pump_duty(good, t1, storage_m3, inflow, limits);
    CHECK(duty.verdicts.empty());
    CHECK(duty.velocity_mps / ft_in_m == Approx(3.94).margin(0.01)); // H4
    CHECK(duty.cycle.state == PitState::cycles);
    CHECK(duty.cycle.fill_s == Approx(7 / 5.0 * 60));                     // 7 gal at 5 gpm
    CHECK(duty.cycle.run_s == Approx(7 / (25 - 5.0) * 60).epsilon(1e-3)); // 7 gal at 20 gpm
    CHECK(duty.drains_back_m3 == 0);

    CHECK(pump_duty(Curve{us(0, 7.9), us(40, 2)}, t1, storage_m3, inflow, limits).verdicts ==
          std::vector{PumpVerdict::cannot_lift});
    CHECK(pump_duty(Curve{us(0, 30), us(20, 25)}, t1, storage_m3, inflow, limits).verdicts ==
          std::vector{PumpVerdict::off_the_curve});
    CHECK(has(pump_duty(Curve{us(0, 9), us(20, 5)}, t1, storage_m3, inflow, limits), PumpVerdict::too_slow));
    CHECK(has(pump_duty(Curve{us(0, 90), us(100, 5)}, t1, storage_m3, inflow, limits), PumpVerdict::too_fast));
    CHECK(has(pump_duty(good, t1, storage_m3, 26 * gpm_in_m3ps, limits), PumpVerdict::falls_behind));
}

TEST_CASE("starts are judged at the worst inflow that can come", "[flow][pump]")
{
    const Curve good = {us(0, 20), us(25, 8 + 66.56 * 0.03760), us(40, 2)};
    PumpLimits calm = limits;
    calm.min_cycle_s = 60;
    const auto often = [&](double gallons, double inflow_gpm) {
        return has(pump_duty(good, t1, gallons * gallon_in_m3, inflow_gpm * gpm_in_m3ps, calm),
                   PumpVerdict::starts_too_often);
    };
    // 4 V / Q is 60 s for 6.25 gal at 25 gpm.
    CHECK(often(6.2, 20));
    CHECK_FALSE(often(6.3, 20));
    // With no more than 5 gpm, V (1/5 + 1/20) min is 60 s for 4 gal.
    CHECK(often(3.9, 5));
    CHECK_FALSE(often(4.1, 5));
    CHECK_FALSE(often(3.9, 0));
}

TEST_CASE("without a check valve the rising pipe drains back", "[flow][pump]")
{
    PumpLine open = t1;
    open.check_valve = false;
    // 10 ft of 1.610 in bore: pi/4 x 1.61^2 x 120 / 231 = 1.0576 gal.
    CHECK(drains_back_m3(open) / gallon_in_m3 == Approx(std::numbers::pi / 4 * 1.61 * 1.61 * 120 / 231).epsilon(1e-12));
    CHECK(drains_back_m3(t1) == 0);
    const Curve good = {us(0, 20), us(25, 8 + 66.56 * 0.03760), us(40, 2)};
    const double inflow = 5 * gpm_in_m3ps;
    CHECK(has(pump_duty(good, open, 1.0 * gallon_in_m3, inflow, limits), PumpVerdict::restarts_at_once));
    const PumpDuty duty = pump_duty(good, open, storage_m3, inflow, limits);
    CHECK(duty.verdicts.empty());
    CHECK(duty.cycle.fill_s == Approx((7 - 1.0576) / 5 * 60).epsilon(1e-4));
}

TEST_CASE("curves, lines and limits out of range stop the run", "[flow][pump]")
{
    const Curve good = {{0, 5}, {0.002, 2}};
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto kind_of = [](const Curve& curve) {
        try {
            operating_point(curve, t1);
        } catch (const Error& error) {
            return error.kind();
        }
        return ErrorKind::internal;
    };
    for (const Curve& bad : {Curve{}, Curve{{0, 5}}, Curve{{0, 5}, {0.001, 5}}, Curve{{0, 5}, {0.001, 6}},
                             Curve{{0, 5}, {0, 4}}, Curve{{0.001, 5}, {0, 4}}, Curve{{0, nan}, {0.001, 4}},
                             Curve{{0, 5}, {nan, 4}}, Curve{{-0.001, 5}, {0.001, 4}}, Curve{{0, 5}, {0.001, -1}}}) {
        CHECK(kind_of(bad) == ErrorKind::input);
    }
    for (const double bad : {nan, -1.0}) {
        PumpLine line = t1;
        line.static_lift_m = bad;
        CHECK_THROWS_AS(operating_point(good, line), Error);
        line = t1;
        line.length_m = bad;
        CHECK_THROWS_AS(operating_point(good, line), Error);
        line = t1;
        line.rising_length_m = bad;
        CHECK_THROWS_AS(drains_back_m3(line), Error);
        CHECK_THROWS_AS(pump_duty(good, t1, bad, 0, limits), Error);
        CHECK_THROWS_AS(pump_duty(good, t1, storage_m3, bad, limits), Error);
        CHECK_THROWS_AS(curve_head_m(good, bad), Error);
        PumpLimits wrong = limits;
        wrong.min_cycle_s = bad;
        CHECK_THROWS_AS(pump_duty(good, t1, storage_m3, 0, wrong), Error);
        wrong = limits;
        wrong.max_velocity_mps = bad;
        CHECK_THROWS_AS(pump_duty(good, t1, storage_m3, 0, wrong), Error);
    }
    PumpLine line = t1;
    line.rising_length_m = line.length_m + 0.01;
    CHECK_THROWS_AS(total_head_m(line, 0), Error);
}
