#include "draw_yard.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/ends.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// A lawn with a gas mark along x = 10 and a pop-up anywhere in an area.
DrawnYard yard_with_area(const Polygon& area)
{
    Site site;
    site.parcel = {square_m(0, 0, 20)};
    Mark gas;
    gas.id = "G";
    gas.facility = Facility::gas;
    gas.line = {{10, 0}, {10, 20}};
    gas.width_m = 0.1;
    gas.position_accuracy_m = 0.2;
    site.marks = {gas};
    site.outlets.push_back({});
    site.outlets[0].id = site.outlets[0].name = "O";
    site.outlets[0].place = area;
    DrawnYard yard{.site = std::move(site),
                   .ground = shot_ground(20, 20, [](const Point& p) { return 100 - 0.05 * p.y_m; }),
                   .rules = yard_rules()};
    yard.rules.structure_gap_m = 0.6;
    return yard;
}

std::vector<EndPoint> ends_in(const DrawnYard& yard)
{
    const auto ends = ends_of(yard.site, yard.ground, yard.site.outlets[0], yard.rules, 0.25, UnitSystem::metric);
    return std::holds_alternative<Refusal>(ends) ? std::vector<EndPoint>{} : std::get<0>(ends);
}

} // namespace

TEST_CASE("a pop-up in an area keeps the gap of a structure to a mark, wherever it has another place", "[structures]")
{
    // Half the width, the gap and the accuracy: 0.05 + 0.6 + 0.2 = 0.85 m to each side of x = 10.
    const auto yard = yard_with_area(square_m(8, 5, 4));
    const auto ends = ends_in(yard);
    REQUIRE(!ends.empty());
    CHECK(std::ranges::all_of(ends, [](const EndPoint& end) { return std::abs(end.at.x_m - 10) >= 0.85 - 1e-6; }));
    const auto& outlet = yard.site.outlets[0];
    CHECK(!end_near(yard.site, yard.ground, outlet, yard.rules, {9.2, 7}, 0, UnitSystem::metric));
    CHECK(end_near(yard.site, yard.ground, outlet, yard.rules, {9.1, 7}, 0, UnitSystem::metric).has_value());
    auto without = yard_with_area(square_m(8, 5, 4));
    without.rules.structure_gap_m = 0;
    CHECK(ends_in(without).size() > ends.size());
}

TEST_CASE("an area wholly in the gap, and a swale, which is no structure, are ended at all the same", "[structures]")
{
    CHECK(!ends_in(yard_with_area(square_m(9.8, 5, 0.5))).empty());
    auto swale = yard_with_area(square_m(8, 5, 4));
    swale.site.outlets[0].kind = OutletKind::swale;
    const auto ends = ends_in(swale);
    CHECK(std::ranges::any_of(ends, [](const EndPoint& end) { return std::abs(end.at.x_m - 10) < 0.5; }));
}
