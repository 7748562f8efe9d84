#include "draw_yard.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/outlet_bar.hpp"
#include "trenchwright/rules/rules.hpp"

#include <catch2/catch.hpp>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

constexpr double reach_m = 5 * ft_in_m; // outlets.sewer_distance

Outlet inlet(Sewer sewer = Sewer::unstated)
{
    Outlet outlet;
    outlet.id = "I1";
    outlet.name = "Inlet at the corner";
    outlet.kind = OutletKind::inlet;
    outlet.place = Point{};
    outlet.sewer = sewer;
    return outlet;
}

/// A sewer 4 in wide past the origin, its middle `away_m` off.
Site beside_sewer(Facility facility, double away_m, double accuracy_m = 0)
{
    Site site;
    Mark mark;
    mark.id = "S7";
    mark.facility = facility;
    mark.line = {{.x_m = away_m, .y_m = -20}, {.x_m = away_m, .y_m = 20}};
    mark.width_m = 4 * inch_in_m;
    mark.position_accuracy_m = accuracy_m;
    site.marks.push_back(mark);
    return site;
}

std::optional<Refusal> bar(const Site& site, const Outlet& outlet, const Point& p = {},
                           const RouteRules& rules = default_rules().route)
{
    return outlet_bar(site, outlet, p, rules, UnitSystem::us);
}

Polygon box(double x, double y, double to_x, double to_y)
{
    return {.outer = {{x, y}, {to_x, y}, {to_x, to_y}, {x, to_y}}, .holes = {}};
}

} // namespace

TEST_CASE("an inlet near a sewer mark not stated to be storm is refused by mark, distance and rule", "[bar]")
{
    for (const auto facility : {Facility::sanitary_sewer, Facility::sewer_unstated}) {
        const auto near = bar(beside_sewer(facility, 1 + 2 * inch_in_m), inlet());
        REQUIRE(near);
        CHECK(near->kind == RefusalKind::unlawful_place);
        CHECK(near->short_by_m.value() == Approx(reach_m - 1)); // from the outer edge of a 4 in pipe
        CHECK_THAT(near->text, Contains("S7") && Contains("3.3 ft") && Contains("5.0 ft") && Contains("UPC 1101.2") &&
                                   Contains("sewer = \"storm\""));
        CHECK_FALSE(bar(beside_sewer(facility, reach_m + 2 * inch_in_m + 0.001), inlet()));
        auto popup = inlet();
        popup.kind = OutletKind::popup; // lets its water out on the ground
        CHECK_FALSE(bar(beside_sewer(facility, 0.1), popup));
    }
    CHECK_FALSE(bar(beside_sewer(Facility::storm_sewer, 0), inlet()));
}

TEST_CASE("an inlet stated to be storm lies only off a line stated to be sanitary", "[bar]")
{
    CHECK_FALSE(bar(beside_sewer(Facility::sewer_unstated, 0), inlet(Sewer::storm)));
    CHECK(bar(beside_sewer(Facility::sanitary_sewer, 0), inlet(Sewer::storm)));
    CHECK_FALSE(bar(beside_sewer(Facility::sanitary_sewer, 0.5), inlet(Sewer::storm)));
    CHECK(bar(beside_sewer(Facility::sanitary_sewer, 0.5, 0.6), inlet(Sewer::storm))); // as well as it is located
}

TEST_CASE("a record that says sanitary or combined is refused whatever lies near", "[bar]")
{
    for (const auto sewer : {Sewer::sanitary, Sewer::combined}) {
        const auto refusal = bar(Site{}, inlet(sewer));
        REQUIRE(refusal);
        CHECK_THAT(refusal->text, Contains(std::string(sewer_name(sewer)) + " sewer") && Contains("UPC 1101.2"));
    }
    CHECK_FALSE(bar(Site{}, inlet()));
}

TEST_CASE("a name or id with a word of the list is refused, and the list is a setting", "[bar]")
{
    const auto named = [](std::string name, std::string id) {
        auto outlet = inlet();
        outlet.name = std::move(name);
        outlet.id = std::move(id);
        return outlet;
    };
    CHECK(bar(Site{}, named("Sanitary sewer cleanout", "co")));
    CHECK(bar(Site{}, named("Old inlet", "SEWER_CLEANOUT-2")));
    CHECK(bar(Site{}, named("COMBINED sewer, Elm Street", "3")));
    CHECK(bar(Site{}, named("Lid of the septic tank", "3")));
    CHECK_FALSE(bar(Site{}, named("Storm sewer inlet", "antiseptic-works")));
    Rules rules = default_rules();
    set_rule(rules, "outlets.sanitary_words", "grease trap, house sewer");
    CHECK(rule_text(rules, "outlets.sanitary_words") == "grease trap, house sewer");
    CHECK(bar(Site{}, named("Grease-trap", "3"), {}, rules.route));
    CHECK_FALSE(bar(Site{}, named("Sanitary sewer cleanout", "co"), {}, rules.route));
}

TEST_CASE("no outlet in a septic part or a well, nor within its hard distance of the trench's edge", "[bar]")
{
    Rules rules = default_rules();
    set_rule(rules, "drain.width_preset", "own");
    set_rule(rules, "drain.trench_width", "0.4 m");
    set_rule(rules, "setbacks.septic", "3 m");
    set_rule(rules, "setbacks.well", "3 m");
    auto popup = inlet();
    popup.kind = OutletKind::popup;
    Site site;
    site.septic = {{.id = "field", .place = box(10, 0, 20, 10), .holder = {}, .origin = {}}};
    site.wells = {{.id = "W1", .place = Point{.x_m = 40, .y_m = 0}, .holder = {}, .origin = {}}};
    const auto at = [&](double x_m) { return bar(site, popup, {.x_m = x_m, .y_m = 0}, rules.route); };
    REQUIRE(at(6.9)); // 3.1 m off, edge 2.9
    CHECK(at(6.9)->short_by_m.value() == Approx(0.1));
    CHECK_THAT(at(6.9)->text, Contains("septic part field") && Contains("setbacks.septic"));
    CHECK_FALSE(at(6.79));
    CHECK_THAT(at(37)->text, Contains("well W1") && Contains("setbacks.well"));
    CHECK_FALSE(at(36.79));
    for (const char* const key : {"setbacks.septic_is", "setbacks.well_is"}) {
        set_rule(rules, key, "warn");
    }
    CHECK_FALSE(at(6.9));
    CHECK_THAT(at(15)->text, Contains("lies in the septic part field"));
    CHECK_THAT(at(40)->text, Contains("lies in the well W1"));
}

TEST_CASE("no outlet on a neighbor's lot, but in the right-of-way and on the line", "[bar]")
{
    auto popup = inlet();
    popup.kind = OutletKind::popup;
    Site site;
    site.parcel = {box(0, 0, 20, 20)};
    site.neighbors = {box(20, 0, 40, 20)};
    site.neighbor_ids = {"lot 9"};
    site.right_of_way = {box(-20, -10, 60, 0), box(30, 0, 32, 20)};
    const auto on_it = bar(site, popup, {.x_m = 21.5, .y_m = 10});
    REQUIRE(on_it);
    CHECK(on_it->short_by_m.value() == Approx(1.5));
    CHECK_THAT(on_it->text, Contains("lot 9"));
    CHECK_FALSE(bar(site, popup, {.x_m = 20.05, .y_m = 10})); // route.boundary_snap is 2 in
    CHECK_FALSE(bar(site, popup, {.x_m = 31, .y_m = 10}));
    CHECK_FALSE(bar(site, popup, {.x_m = 19, .y_m = 10}));
}

namespace {

const char* const lawn = R"(
    . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . .
    . S . . . . . . . . . . . . O .
    . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . .
)";

test::DrawnYard yard_with(std::variant<Point, Polyline, Polygon> septic, std::variant<Point, Polyline, Polygon> well,
                          bool hard, double distance_m)
{
    auto yard = test::draw_yard(lawn, [](const Point& p) { return 20 - 0.05 * p.x_m; });
    yard.site.septic = {{.id = "F", .place = std::move(septic), .holder = {}, .origin = {}}};
    yard.site.wells = {{.id = "W", .place = std::move(well), .holder = {}, .origin = {}}};
    yard.rules.setbacks.septic = yard.rules.setbacks.well = {.distance_m = distance_m, .hard = hard};
    return yard;
}

} // namespace

TEST_CASE("no trench enters a septic field or a well whatever the setback says", "[bar]")
{
    // Both stand on the straight way from (1.5, 2.5) to (14.5, 2.5).
    const Polygon field = box(5, 2, 7, 4);
    const Point well{.x_m = 10.5, .y_m = 2.5};
    for (const bool hard : {false, true}) {
        const double distance = 1;
        const auto yard = yard_with(field, well, hard, distance);
        const auto outcome = test::routed(yard);
        REQUIRE(std::holds_alternative<Route>(outcome));
        const auto& line = std::get<Route>(outcome).line;
        const double least = yard.rules.section.width_m / 2 + (hard ? distance : 0);
        CHECK(distance_m(line, field) >= least - 1e-6);
        CHECK(distance_m(well, line) >= least - 1e-6);
        CHECK(length_m(line) > 13);
    }
    // A pipe of the system is no field: where its distance only warns it is crossed.
    const Polyline pipe{{.x_m = 6, .y_m = -2.9}, {.x_m = 6, .y_m = 7.9}};
    const auto crossing = test::routed(yard_with(pipe, Point{.x_m = 30, .y_m = 30}, false, 1));
    REQUIRE(std::holds_alternative<Route>(crossing));
    CHECK(length_m(std::get<Route>(crossing).line) == Approx(13));
}

TEST_CASE("what closes every way, or stands too near the source, is named", "[bar]")
{
    const auto across = test::routed(yard_with(box(6, -3, 8, 8), Point{.x_m = 30, .y_m = 30}, false, 1));
    REQUIRE(std::holds_alternative<Refusal>(across));
    CHECK_THAT(std::get<Refusal>(across).text, Contains("septic part F"));
    const auto beside = test::routed(yard_with(box(2.5, 2, 4, 4), Point{.x_m = 30, .y_m = 30}, true, 3));
    REQUIRE(std::holds_alternative<Refusal>(beside));
    CHECK_THAT(std::get<Refusal>(beside).text, Contains("septic part F") && Contains("3.00 m is kept"));
}
