#include "flow_units.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/runoff.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <vector>

using namespace trenchwright;
using namespace flow_units;

namespace {

double acres_cfs(double acres, double share, double in_per_h)
{
    return runoff_m3ps({.area_m2 = acres * acre_in_m2, .runoff_share = share}, in_per_h * in_per_h_in_mps) /
           cu_ft_in_m3;
}

double roof_gpm(double sq_ft, double in_per_h)
{
    return runoff_m3ps({.area_m2 = sq_ft * sq_ft_in_m2, .runoff_share = 1}, in_per_h * in_per_h_in_mps) / gpm_in_m3ps;
}

std::vector<RunoffArea> acres(const std::vector<std::pair<double, double>>& area_and_share)
{
    std::vector<RunoffArea> surfaces;
    for (const auto& [area, share] : area_and_share) {
        surfaces.push_back({.area_m2 = area * acre_in_m2, .runoff_share = share});
    }
    return surfaces;
}

} // namespace

TEST_CASE("the rational method is exact in both unit systems", "[flow][runoff]")
{
    // docs/sources.md, R1: HEC-22 4th ed., eq. 4.1: Ku 360 with mm/h, ha and m3/s.
    CHECK(runoff_m3ps({.area_m2 = 1e4, .runoff_share = 1}, 1e-3 / hour_s) == Approx(1.0 / 360).epsilon(1e-12));
    // docs/sources.md, R2: arithmetic, 43,560 / 12 / 3,600 = 121/120.
    CHECK(acres_cfs(1, 1, 1) == Approx(121.0 / 120).epsilon(1e-12));
    // docs/sources.md, R12: National Standard Plumbing Code 2015, app. A.2, its steps without rounding: 144 / 231 / 60
    // gpm.
    CHECK(roof_gpm(1, 1) == Approx(1 / 96.25).epsilon(1e-9));
    // docs/sources.md, R13: arithmetic.
    CHECK(roof_gpm(1000, 1) == Approx(10.390).margin(0.001));
    // docs/sources.md, R14: 2,506 ft2 at 3 in/h; with the rounded 0.0104 of the codes 78.19.
    CHECK(roof_gpm(2506, 3) == Approx(78.11).margin(0.02));
}

TEST_CASE("worked examples of the rational method come out", "[flow][runoff]")
{
    // docs/sources.md, R5, R6: HEC-22 4th ed., ex. 4.3, which takes Ku as 1 where the exact factor is 121/120.
    CHECK(acres_cfs(43.3, 0.235, 1.9) / (121.0 / 120) == Approx(19.3).margin(0.05));
    CHECK(acres_cfs(43.3, 0.315, 2.3) / (121.0 / 120) == Approx(31.4).margin(0.05));
    CHECK(acres_cfs(43.3, 0.235, 1.9) * cu_ft_in_m3 / (121.0 / 120) == Approx(0.55).margin(0.005));
    // docs/sources.md, R7: R6 in SI: 58.42 mm/h, 17.5229 ha.
    CHECK(runoff_m3ps({.area_m2 = 175229, .runoff_share = 0.315}, 0.05842 / hour_s) == Approx(0.8957).margin(0.0005));
}

TEST_CASE("coefficients of several surfaces are weighted by area", "[flow][runoff]")
{
    // docs/sources.md, R3, R4: HEC-22 4th ed., ex. 4.1.
    CHECK(weighted_runoff_share(acres({{22.1, 0.25}, {21.2, 0.22}})) == Approx(0.235).margin(0.0005));
    CHECK(weighted_runoff_share(acres({{5.4, 0.90}, {1.6, 0.15}, {18.6, 0.25}, {17.7, 0.22}})) ==
          Approx(0.315).margin(0.0005));
}

TEST_CASE("a rain may be given as a depth in a time", "[flow][runoff]")
{
    // docs/sources.md, R15: National Standard Plumbing Code 2015, app. A.1: 0.72 of the 30-minute depth falls in 15
    // minutes.
    const double rain = rain_rate_mps(0.72 * 2 * inch_in_m, 15 * 60);
    CHECK(rain / in_per_h_in_mps == Approx(5.76).margin(1e-4));
    CHECK(runoff_m3ps({.area_m2 = sq_ft_in_m2, .runoff_share = 1}, rain) / gpm_in_m3ps == Approx(0.05984).margin(1e-4));
}

TEST_CASE("the roof that a pipe serves shrinks as the rain grows", "[flow][runoff]")
{
    const auto served_sq_ft = [](double gpm, double in_per_h) {
        return area_served_m2(gpm * gpm_in_m3ps, in_per_h * in_per_h_in_mps, 1) / sq_ft_in_m2;
    };
    // docs/sources.md, C10: IPC 2012 table 1106.3 as quoted: 2,506 ft2 at 3 in/h for 78.2 gpm.
    CHECK(served_sq_ft(78.2, 3) == Approx(2506).epsilon(0.005));
    // docs/sources.md, C11: IPC 2021 table 1106.2 as quoted: 115 gpm, 3,684 to 3,690 ft2.
    CHECK(served_sq_ft(115, 3) == Approx(3687).epsilon(0.003));
    // docs/sources.md, C12: Uniform Plumbing Code, app. D, sec. D 3: 21,400 ft2 at 1 in/h are 6,688 ft2 at 3.2 in/h.
    CHECK(served_sq_ft(roof_gpm(21400, 1), 3.2) == Approx(6688).margin(1));
}

TEST_CASE("runoff properties hold for random surfaces", "[flow][runoff]")
{
    const auto surfaces = rc::gen::container<std::vector<RunoffArea>>(
        rc::gen::apply([](double area, double share) { return RunoffArea{.area_m2 = area, .runoff_share = share}; },
                       between(0, 500), between(0, 1)));
    rc::prop("the areas together shed what one area with the weighted coefficient sheds", [&] {
        auto list = *surfaces;
        list.push_back({.area_m2 = 1, .runoff_share = 0.5});
        double area_m2 = 0;
        for (const auto& surface : list) {
            area_m2 += surface.area_m2;
        }
        const double rain = *between(0, 1e-4);
        const double one = runoff_m3ps({.area_m2 = area_m2, .runoff_share = weighted_runoff_share(list)}, rain);
        RC_ASSERT(runoff_m3ps(list, rain) == Approx(one).epsilon(1e-12).margin(1e-18));
    });
    rc::prop("the area served by a flow sheds that flow", [] {
        const double rain = *between(1e-6, 1e-4);
        const double share = *between(0.05, 1);
        const double flow = *between(0, 0.1);
        const RunoffArea served = {.area_m2 = area_served_m2(flow, rain, share), .runoff_share = share};
        RC_ASSERT(runoff_m3ps(served, rain) == Approx(flow).epsilon(1e-12));
    });
}

TEST_CASE("no surface sheds nothing; figures out of range stop the run", "[flow][runoff]")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(runoff_m3ps(std::vector<RunoffArea>{}, 1e-5) == 0);
    CHECK_THROWS_AS(weighted_runoff_share({}), Error);
    for (const double bad : {nan, -1.0, std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(runoff_m3ps(RunoffArea{.area_m2 = bad, .runoff_share = 1}, 1e-5), Error);
        CHECK_THROWS_AS(runoff_m3ps(RunoffArea{.area_m2 = 1, .runoff_share = bad}, 1e-5), Error);
        CHECK_THROWS_AS(runoff_m3ps(RunoffArea{.area_m2 = 1, .runoff_share = 1}, bad), Error);
        CHECK_THROWS_AS(rain_rate_mps(bad, 60), Error);
        CHECK_THROWS_AS(rain_rate_mps(1, bad), Error);
        CHECK_THROWS_AS(area_served_m2(bad, 1e-5, 1), Error);
    }
    CHECK_THROWS_AS(runoff_m3ps(RunoffArea{.area_m2 = 1, .runoff_share = 1.01}, 1e-5), Error);
    CHECK_THROWS_AS(rain_rate_mps(1, 0), Error);
    CHECK_THROWS_AS(area_served_m2(1, 0, 1), Error);
    CHECK_THROWS_AS(area_served_m2(1, 1e-5, 0), Error);
}
