#include "draw_yard.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/rules/rules.hpp"

#include <catch2/catch.hpp>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

// Silverton OR public works standards, appendix B: walks 4 in thick, drives 6 in. Gap, eased and own covers are the
// settings' defaults.
constexpr double in = inch_in_m;
constexpr double under_walk_m = (4 + 2) * in;
constexpr double eased_m = 2 * in;
constexpr double lawn_m = 6 * in;
constexpr double drive_m = 18 * in;
constexpr double street_m = 24 * in;

SurfacePatch strip(const std::string& kind, double from_x, double to_x)
{
    return {.kind = kind,
            .area = {.outer = {{from_x, -9}, {to_x, -9}, {to_x, 19}, {from_x, 19}}, .holes = {}},
            .origin = {}};
}

Outlet at_origin(OutletKind kind)
{
    Outlet outlet;
    outlet.kind = kind;
    outlet.place = Point{};
    return outlet;
}

/// Least cover at a place of a line that runs from the outlet at 0 along the x axis.
double cover_m(const std::vector<SurfacePatch>& surfaces, OutletKind kind, double x_m,
               const Rules& rules = default_rules())
{
    Site site;
    site.surfaces = surfaces;
    const Polyline line{{0, 0}, {12, 0}};
    for (const auto& [span, cover] :
         min_cover_along(surfaces_along(site, line, rules.route), line, at_origin(kind), rules.route)) {
        if (span.from_m <= x_m && x_m <= span.to_m) {
            return cover;
        }
    }
    return -1;
}

} // namespace

TEST_CASE("near a curb the cover is eased, but never into a slab nor under vehicles", "[cover]")
{
    const std::vector<SurfacePatch> surfaces{strip("public_sidewalk", 1, 2), strip("driveway", 3, 5),
                                             strip("patio", 9, 10)};
    CHECK(cover_m(surfaces, OutletKind::curb, 0.5) == Approx(eased_m));
    CHECK(cover_m(surfaces, OutletKind::curb, 1.5) == Approx(under_walk_m));
    CHECK(cover_m(surfaces, OutletKind::curb, 4) == Approx(drive_m));
    CHECK(cover_m(surfaces, OutletKind::curb, 8) == Approx(lawn_m)); // beyond outlets.eased_reach, 20 ft
    CHECK(cover_m(surfaces, OutletKind::curb, 9.5) == Approx(12 * in));
    CHECK(cover_m(surfaces, OutletKind::popup, 1.5) == Approx(12 * in));
    CHECK(cover_m(surfaces, OutletKind::popup, 0.5) == Approx(lawn_m));
}

TEST_CASE("no pipe comes to daylight under paving before a swale", "[cover]")
{
    const Rules rules = default_rules();
    const std::vector<SurfacePatch> surfaces{strip("sidewalk", 0.3, 0.5), strip("driveway", 0.6, 0.8)};
    CHECK(cover_m(surfaces, OutletKind::swale, 0.2) == Approx(-rules.route.section.outside_diameter_m));
    CHECK(cover_m(surfaces, OutletKind::swale, 0.4) == Approx(under_walk_m));
    CHECK(cover_m(surfaces, OutletKind::swale, 0.7) == Approx(drive_m));
    CHECK(cover_m(surfaces, OutletKind::swale, 3) == Approx(eased_m));
}

TEST_CASE("a street that reaches under the curb by no more than layers disagree does not close it", "[cover]")
{
    CHECK(cover_m({strip("street", -9, 0.04)}, OutletKind::curb, 0.02) == Approx(eased_m)); // route.boundary_snap: 2 in
    CHECK(cover_m({strip("street", -9, 0.20)}, OutletKind::curb, 0.10) == Approx(street_m));
}

TEST_CASE("slab and gap are settings and hold away from the outlet too", "[cover]")
{
    Rules rules = default_rules();
    set_rule(rules, "ground_cover.sidewalk.slab", "12 in");
    set_rule(rules, "outlets.slab_gap", "3 in");
    for (const double x : {1.0, 9.0}) {
        CHECK(cover_m({strip("sidewalk", 0.5, 10)}, OutletKind::curb, x, rules) == Approx(15 * in));
    }
    set_rule(rules, "ground_cover.sidewalk.slab", "0 in");
    CHECK(cover_m({strip("sidewalk", 0.5, 10)}, OutletKind::curb, 1, rules) == Approx(eased_m));
    set_rule(rules, "ground_cover.sidewalk.vehicles", "yes");
    CHECK(cover_m({strip("sidewalk", 0.5, 10)}, OutletKind::curb, 1, rules) == Approx(12 * in));
}

TEST_CASE("a walk behind the curb refuses the outlet by just what its slab takes, and is named", "[cover]")
{
    // Level lawn at 20; a walk across the whole lot from 1 m to 3 m before the curb. At its upper edge the pipe's top
    // lies at 20 less slab and gap; from there it falls over 3 m.
    auto yard = test::draw_yard(R"(
        . . . . . . . . . . . . . . . .
        . S . . . . . . . . . . . . O .
        . . . . . . . . . . . . . . . .
    )",
                                [](const Point&) { return 20.0; });
    yard.rules.min_fall_ratio = 0.01;
    yard.rules.reserve_fall_m = 0;
    yard.rules.surfaces.at("lawn").min_cover_m = 0; // only the walk binds
    yard.site.surfaces = {strip("public_sidewalk", 11.5, 13.5)};
    auto& outlet = yard.site.outlets[0];
    outlet.kind = OutletKind::curb;
    const auto& section = yard.rules.section;
    const double arrives = section.invert_for_cover_m(20, under_walk_m) - 0.01 * 3;
    outlet.lowest_invert_elev_m = arrives + 0.03;
    const auto outcome = test::routed(yard);
    REQUIRE(std::holds_alternative<Refusal>(outcome));
    const auto& refusal = std::get<Refusal>(outcome);
    CHECK(refusal.kind == RefusalKind::falls_short);
    CHECK(refusal.short_by_m.value() == Approx(0.03).margin(0.004)); // half a cell and its fall
    CHECK_THAT(refusal.text, Contains("152 mm of cover under public sidewalk (102 mm slab, 51 mm below it)"));
    outlet.lowest_invert_elev_m = arrives;
    CHECK(std::holds_alternative<Route>(test::routed(yard)));
    outlet.lowest_invert_elev_m = arrives + 0.03;
    yard.rules.surfaces.at("public_sidewalk").slab_m = 0; // eased to 2 in: 4 in of room
    CHECK(std::holds_alternative<Route>(test::routed(yard)));
}

TEST_CASE("a swale outlet under a drive is refused, beside it met", "[cover]")
{
    auto yard = test::draw_yard(R"(
        . . . . . . . . . . . . . . . .
        . S . . . . . . . . . . . . O .
        . . . . . . . . . . . . . . . .
    )",
                                [](const Point& p) { return 20 - 0.05 * p.x_m; });
    auto& outlet = yard.site.outlets[0];
    outlet.kind = OutletKind::swale;
    yard.site.surfaces = {strip("driveway", 14, 16)};
    const auto under = test::routed(yard);
    REQUIRE(std::holds_alternative<Refusal>(under));
    CHECK(std::get<Refusal>(under).kind == RefusalKind::unlawful_place);
    CHECK_THAT(std::get<Refusal>(under).text, Contains("lies under drive") && Contains("457 mm of cover"));
    yard.site.surfaces = {strip("driveway", 15, 16)};
    CHECK(std::holds_alternative<Route>(test::routed(yard)));
}
