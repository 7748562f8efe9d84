#include "trenchwright/base/error.hpp"
#include "trenchwright/base/missing_text.hpp"
#include "trenchwright/base/units.hpp"

#include <catch2/catch.hpp>
#include <limits>

using namespace trenchwright;

TEST_CASE("no depth below printed_from_m is printed as the limit", "[units]")
{
    for (const auto units : {UnitSystem::us, UnitSystem::metric}) {
        for (const double limit_m : {4 * 0.3048, 5 * 0.3048, 1.5, 1.23456, 20 * 0.3048}) {
            for (double under_mm = 0.01; under_mm < 3; under_mm += 0.02) {
                const double depth_m = limit_m - under_mm / 1000;
                if (depth_text(depth_m, units) == depth_text(limit_m, units)) {
                    CHECK(depth_m >= printed_from_m(limit_m));
                }
            }
            CHECK(printed_from_m(limit_m) == Approx(limit_m - 0.0015875).epsilon(1e-12)); // 25.4 mm / 16
        }
    }
}

TEST_CASE("a pipe's size is printed as tables give it", "[units]")
{
    // ASTM D2729: 3 in pipe is 3.250 in outside, 4 in pipe 4.215 in.
    CHECK(diameter_text(3.25 * 0.0254, UnitSystem::us) == "3.25 in");
    CHECK(diameter_text(4.215 * 0.0254, UnitSystem::us) == "4.215 in");
    CHECK(diameter_text(3.25 * 0.0254, UnitSystem::metric) == "82.55 mm");
    CHECK(diameter_text(0.110, UnitSystem::metric) == "110 mm");
}

TEST_CASE("every unit of length has a word that names it, and areas count in what goes with it", "[units]")
{
    // By definition of the prefixes; 1 in = 25.4 mm exactly.
    CHECK(meters_per(LengthUnit::inch) == Approx(25.4 * meters_per(LengthUnit::millimeter)));
    CHECK(meters_per(LengthUnit::inch) == Approx(2.54 * meters_per(LengthUnit::centimeter)));
    for (const auto unit : {LengthUnit::meter, LengthUnit::foot, LengthUnit::us_survey_foot, LengthUnit::inch,
                            LengthUnit::centimeter, LengthUnit::millimeter}) {
        CHECK(length_unit_named(unit_word(unit)) == unit);
    }
    for (const auto unit : {AreaUnit::square_meter, AreaUnit::square_foot, AreaUnit::square_yard}) {
        CHECK(area_unit_named(unit_word(unit)) == unit);
    }
    CHECK_FALSE(area_unit_named("in2"));
    CHECK(area_unit_beside(LengthUnit::inch) == AreaUnit::square_foot);
    CHECK(area_unit_beside(LengthUnit::millimeter) == AreaUnit::square_meter);
    CHECK(m2_per(AreaUnit::square_yard) == Approx(0.9144 * 0.9144));
}

TEST_CASE("the two feet differ by two parts per million", "[units]")
{
    // docs/sources.md, U1 to U3: 85 FR 62698 (2020) and NOAA.
    CHECK(meters_per(LengthUnit::us_survey_foot) == Approx(0.304800609601219).epsilon(1e-15));
    CHECK(meters_per(LengthUnit::foot) == 0.3048);
    CHECK(us_survey_ft_in_m / ft_in_m - 1 == Approx(2.000004e-6).epsilon(1e-5));
    // docs/sources.md, U5: 2,000,000 ftUS read as ft shifts a site by 1.2192 m.
    CHECK(2e6 * (us_survey_ft_in_m - ft_in_m) == Approx(1.2192).epsilon(1e-4));
}

TEST_CASE("feet and inches round to the sixteenth and carry over", "[units]")
{
    CHECK(feet_inches(ft_in_m * 3 + inch_in_m * 2.0625) == "3'-2 1/16\"");
    CHECK(feet_inches(ft_in_m - 1e-6) == "1'-0\"");
    CHECK(feet_inches(-inch_in_m * 6.5) == "-0'-6 1/2\"");
    CHECK(feet_inches(-1e-9) == "0'-0\"");
}

TEST_CASE("stations are printed in hundreds of the unit", "[units]")
{
    // docs/sources.md, Q10: NAVEDTRA 14070 writes 8+50 and 1+70.21.
    CHECK(station_text(850 * ft_in_m, UnitSystem::us) == "8+50.00");
    CHECK(station_text(170.21 * ft_in_m, UnitSystem::us) == "1+70.21");
    CHECK(station_text(0, UnitSystem::us) == "0+00.00");
    CHECK(station_text(99.999, UnitSystem::metric) == "1+00.00");
}

TEST_CASE("falls are printed in percent and in inches per foot", "[units]")
{
    // docs/sources.md, S1: 1/8 in per ft is 1.042 %.
    CHECK(fall_text(1.0 / 96, UnitSystem::us) == "1.04 % (1/8 in per ft)");
    CHECK(fall_text(0.02, UnitSystem::metric) == "2.00 %");
    CHECK(fall_text(0.015, UnitSystem::us) == "1.50 % (0.180 in per ft)");
}

TEST_CASE("money is whole cents with halves away from zero", "[units]")
{
    CHECK(money_text(to_cents(1234.565)) == "1,234.57");
    CHECK(money_text(-5) == "-0.05");
    CHECK(money_text(100000000) == "1,000,000.00");
    CHECK_THROWS_AS(to_cents(std::numeric_limits<double>::quiet_NaN()), Error);
}

TEST_CASE("stone is printed by the load", "[units]")
{
    // docs/sources.md, K6: 90.31 ft3 at 105 lb/ft3 = 9482.6 lb; / 2000 = 4.74 ton; x 0.45359237 = 4301.2 kg.
    CHECK(load_text(90.31 * 105 * 0.45359237, UnitSystem::us) == "4.74 ton");
    CHECK(load_text(90.31 * 105 * 0.45359237, UnitSystem::metric) == "4.30 t");
}

TEST_CASE("water is printed in the units of the trade", "[units]")
{
    // By definition: 1 gal = 231 in3 = 3.785411784 L. 32 gal in 60 s: 2.0189 L/s.
    const double flow_m3ps = 32 * 3.785411784e-3 / 60;
    CHECK(flow_text(flow_m3ps, UnitSystem::us) == "32.0 gpm");
    CHECK(flow_text(flow_m3ps, UnitSystem::metric) == "2.02 L/s");
    // 2.17 ft/s x 0.3048 = 0.6614 m/s.
    CHECK(velocity_text(2.17 * 0.3048, UnitSystem::us) == "2.17 ft/s");
    CHECK(velocity_text(2.17 * 0.3048, UnitSystem::metric) == "0.66 m/s");
    // 4 in in an hour: 101.6 mm.
    CHECK(rain_text(4 * 0.0254 / 3600, UnitSystem::us) == "4.00 in/h");
    CHECK(rain_text(4 * 0.0254 / 3600, UnitSystem::metric) == "102 mm/h");
    // docs/sources.md, T12: a round pit of 18 in holds 26.44 gal in 24 in; x 3.785411784 = 100.08 L.
    CHECK(water_text(26.44 * 3.785411784e-3, UnitSystem::us) == "26.4 gal");
    CHECK(water_text(26.44 * 3.785411784e-3, UnitSystem::metric) == "100.1 L");
    // docs/sources.md, B3: 220.5 lb x 0.45359237 = 100.02 kg.
    CHECK(weight_text(220.4 * 0.45359237, UnitSystem::us) == "220 lb");
    CHECK(weight_text(220.4 * 0.45359237, UnitSystem::metric) == "100 kg");
}

TEST_CASE("what is missing is printed rounded up, so that what is printed suffices", "[units]")
{
    CHECK(missing_text(2.346 * 0.0254, UnitSystem::us) == "2.4 in"); // small_text would say 2.3 in
    CHECK(missing_text(0.244, UnitSystem::us) == "9.6 in");           // 243.84 mm, in whole millimeters
    CHECK(missing_text(2.3 * 0.0254, UnitSystem::us) == "2.3 in");
    CHECK(missing_text(0.0412, UnitSystem::metric) == "42 mm");
    CHECK(missing_text(0.041, UnitSystem::metric) == "41 mm");
    for (int i = 1; i < 400; ++i) {
        const double missing_m = i * 0.000731;
        CHECK(std::stod(missing_text(missing_m, UnitSystem::us)) * 0.0254 >= missing_m - 0.001 - 1e-8); // known to 1 mm
        CHECK(std::stod(missing_text(missing_m, UnitSystem::metric)) / 1000 >= missing_m - 1e-8);
    }
}
