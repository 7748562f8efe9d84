#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/system.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <geodesic.h>

using namespace trenchwright;

namespace {

NativePoint moved(const std::string& from, const std::string& to, NativePoint p)
{
    return Transform(system_facts(from).wkt, system_facts(to).wkt, p)(p);
}

void check_near(NativePoint p, double x, double y, double tolerance)
{
    CHECK(std::abs(p.x - x) < tolerance);
    CHECK(std::abs(p.y - y) < tolerance);
}

double degrees(double d, double m, double s)
{
    return d + m / 60 + s / 3600;
}

} // namespace

TEST_CASE("projections give the published coordinates", "[gis]")
{
    // docs/sources.md, M1 (IOGP note 7-2) and M3 (Ordnance Survey guide, annex C).
    check_near(moved("EPSG:4277", "EPSG:27700", {0.5, 50.5}), 577274.99, 69740.50, 0.01);
    check_near(moved("EPSG:4277", "EPSG:27700", {-2, 49}), 400000, -100000, 1e-6);
    check_near(moved("EPSG:4277", "EPSG:27700", {degrees(1, 43, 4.5177), degrees(52, 39, 27.2531)}), 651409.903,
               313177.270, 0.001);
    // docs/sources.md, M4, M6: US survey feet; M7: one standard parallel.
    check_near(moved("EPSG:4267", "EPSG:32040", {-96, 28.5}), 2963503.91, 254759.80, 0.01);
    check_near(moved("EPSG:4267", "EPSG:32040", {-99, degrees(27, 50, 0)}), 2000000, 0, 1e-4);
    check_near(moved("EPSG:4242", "EPSG:24200", {-degrees(76, 56, 37.26), degrees(17, 55, 55.80)}), 255966.58,
               142493.51, 0.01);
    // docs/sources.md, M9: web Mercator is read, never measured in.
    check_near(moved("EPSG:4326", "EPSG:3857", {-100.33333333, 24.38178694}), -11169055.58, 2800000.00, 0.01);
    // docs/sources.md, M10: GIGS test 5101.
    const std::string gigs = "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +datum=WGS84 "
                             "+units=m +type=crs";
    check_near(moved("EPSG:4326", gigs, {3, 49}), 765648.501, -87944.74, 0.03);
    check_near(moved("EPSG:4326", gigs, {3.0000001, 40}), 826893.845, -1087710.121, 0.03);
}

TEST_CASE("a system's unit is asked of the system, never of its name", "[gis]")
{
    // docs/sources.md, U1, U2 and X6: which codes are in which foot.
    for (const auto* code : {"EPSG:2229", "EPSG:2225", "EPSG:2263", "EPSG:2272", "EPSG:3435", "EPSG:2249"}) {
        CHECK(system_facts(code).native_unit == LengthUnit::us_survey_foot);
        CHECK(system_facts(code).meters_per_native == 1200.0 / 3937.0);
    }
    for (const auto* code : {"EPSG:2994", "EPSG:6494"}) {
        CHECK(system_facts(code).native_unit == LengthUnit::foot);
        CHECK(system_facts(code).meters_per_native == 0.3048);
    }
    CHECK(system_facts("EPSG:26911").meters_per_native == 1);
    // docs/sources.md, U5: 2,000,000 ftUS read as ft is a shift of 1.2192 m.
    const auto frame = frame_in("EPSG:2229", {6500000, 1850000});
    const double shift_m = 2e6 * (frame.meters_per_native - 0.3048);
    CHECK(shift_m == Approx(1.2192).epsilon(1e-4));
    // Vertical parts are noticed: EPSG:6360 is NAVD88 in US survey feet.
    CHECK(system_facts("EPSG:2229+6360").z_unit_in_m.value_or(0) == Approx(0.304800609601219).epsilon(1e-12));
    CHECK(system_facts("EPSG:2229+6360").name == system_facts("EPSG:2229").name);
}

TEST_CASE("systems that cannot carry a site are refused by name", "[gis]")
{
    CHECK(fixtures::error_of([] { system_facts("EPSG:999999"); }).find("EPSG:999999") != std::string::npos);
    CHECK(fixtures::error_of([] { system_facts("EPSG:4978"); }).find("neither") != std::string::npos);
    CHECK(fixtures::error_of([] { system_facts("EPSG:5703"); }).find("neither") != std::string::npos);
    // Clarke's links (Guam 1963 and Fiji 1986 style grids) and south-oriented axes (Lo29).
    const auto links = fixtures::error_of([] { system_facts("EPSG:3139"); });
    CHECK(links.find("only meter, foot and US survey foot") != std::string::npos);
    CHECK(fixtures::error_of([] { system_facts("EPSG:2053"); }).find("east") != std::string::npos);
    // docs/sources.md, X2: 1.205 times too long at 33.9 N.
    const auto mercator = fixtures::error_of([] { frame_in("EPSG:3857", {-13158000, 4015000}); });
    CHECK(mercator.find("cannot be measured in") != std::string::npos);
    // True lengths there by closed form: cos(lat) N / a to the east, cos(lat) M / a to the north (WGS 84).
    const double lat = std::atan(std::sinh(4015000 / 6378137.0));
    const double e2 = 0.00669437999014;
    const double w2 = 1 - e2 * std::pow(std::sin(lat), 2);
    std::array<char, 64> expected{};
    std::snprintf(expected.data(), expected.size(), "%.2f m (east) and %.2f m (north)",
                  100 * std::cos(lat) / std::sqrt(w2), 100 * std::cos(lat) * (1 - e2) / std::pow(w2, 1.5));
    CHECK_THAT(mercator, Catch::Contains(expected.data()));
    CHECK_THROWS_AS(frame_in("EPSG:27700", {std::nan(""), 0}), Error);
}

TEST_CASE("an unknown datum shift is refused, not guessed", "[gis]")
{
    const std::string unknown = "+proj=longlat +ellps=clrk66 +type=crs";
    const auto text = fixtures::error_of([&] { moved(unknown, "EPSG:4326", {-96, 28.5}); });
    CHECK(text.find("no exact way") != std::string::npos);
    // docs/sources.md, X5: NAD83 to WGS 84 is a null shift with a stated accuracy of meters.
    const Transform shift(system_facts("EPSG:4326").wkt, system_facts("EPSG:2249").wkt, {-71.11, 42.366});
    CHECK(shift.accuracy_m() > 0.5);
    const Transform same(system_facts("EPSG:4269").wkt, system_facts("EPSG:2249").wkt, {-71.11, 42.366});
    CHECK(same.accuracy_m() == 0);
}

TEST_CASE("a projected site keeps its grid and knows how long it is on the ground", "[gis]")
{
    // docs/sources.md, X3: UTM zone 11 at lon -118.2 has point scale 0.9997518.
    const auto at = moved("EPSG:4269", "EPSG:26911", {-118.2, 33.9});
    const auto frame = frame_in("EPSG:26911", at);
    CHECK(frame.grid_to_ground_ratio == Approx(1 / 0.9997518).epsilon(1e-7));
    CHECK(frame.origin_native_x == std::floor(at.x));
    const auto p = to_site(frame, at.x, at.y);
    CHECK((p.x_m >= 0 && p.x_m < 1 && p.y_m >= 0 && p.y_m < 1));
    CHECK(std::abs(to_native(frame, p).x - at.x) < 1e-9);
    // The same place in US survey feet: a state-plane grid has its own scale near 1.
    const auto feet = frame_in("EPSG:2229", moved("EPSG:4269", "EPSG:2229", {-118.2, 33.9}));
    CHECK(std::abs(feet.grid_to_ground_ratio - 1) < 1e-4);
}

TEST_CASE("a geographic site is measured as the geodesic does", "[gis]")
{
    const auto frame = frame_in("EPSG:4326", {-71.11, 42.366});
    CHECK(frame.native_unit == LengthUnit::meter);
    CHECK(frame.grid_to_ground_ratio == 1);
    const Transform transform(system_facts("EPSG:4326").wkt, frame.wkt, {-71.11, 42.366});
    geod_geodesic wgs84;
    geod_init(&wgs84, 6378137, 1 / 298.257223563);
    // docs/sources.md, X4: within 0.1 mm over 433 m.
    for (const double azimuth_deg : {0.0, 37.0, 90.0, 211.0, 300.0}) {
        double lat = 0;
        double lon = 0;
        geod_direct(&wgs84, 42.3662, -71.1103, azimuth_deg, 433, &lat, &lon, nullptr);
        const auto a = transform({-71.1103, 42.3662});
        const auto b = transform({lon, lat});
        CHECK(std::hypot(b.x - a.x, b.y - a.y) == Approx(433).margin(1e-4));
    }
}
