#include "export_fixture.hpp"
#include "trenchwright/plan/inside.hpp"
#include "trenchwright/report/report.hpp"

#include <catch2/catch.hpp>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

JobPlan plan_in(UnitSystem units)
{
    auto plan = test::sample_plan();
    plan.job.rules.units = units;
    return plan;
}

std::vector<Finding> findings_named(const JobPlan& plan, const std::string& rule)
{
    auto found = inside_findings(plan);
    std::erase_if(found, [&](const Finding& finding) { return finding.rule != rule; });
    return found;
}

} // namespace

// The plan's figures are in tests/export_fixture.cpp; conversions by 1 ft = 0.3048 m, 1 yd3 = 0.764555 m3,
// 1 short ton = 907.185 kg.

TEST_CASE("the job inside is reported in meters and in feet", "[inside]")
{
    const auto metric = inside_text(plan_in(UnitSystem::metric));
    CHECK_THAT(metric, Contains("12.00 m of"));
    CHECK_THAT(metric, Contains("nearest to pump sump, 1.00 m from"));
    CHECK_THAT(metric, Contains("110 mm above"));
    CHECK_THAT(metric, Contains("0.65 m3 dug, 0.17 m3 back over the stone, 0.46 m3 surplus (0.57 m3 loose)"));
    CHECK_THAT(metric, Contains("stays inside"));
    CHECK_THAT(metric, Contains("27 bags of 14.2 L, or 0.59 t"));
    const auto us = inside_text(plan_in(UnitSystem::us));
    CHECK_THAT(us, Contains("39.4 ft of"));                      // 12 / 0.3048 = 39.37
    CHECK_THAT(us, Contains("0.85 yd3 dug"));                    // 0.65 / 0.764555 = 0.850
    CHECK_THAT(us, Contains("27 bags of 0.5 ft3, or 0.65 ton")); // 593 / 907.185 = 0.654
    CHECK_THAT(us, Contains("Each estimate has the job inside among its lines"));
}

TEST_CASE("the dirt of both jobs adds up, and what stays inside is not hauled", "[inside]")
{
    // Two trenches of 2.31 + 0.55 = 2.86 m3, 0.67 loose each: 5.72 and 1.34; inside 0.65 dug: 6.37 together.
    auto plan = plan_in(UnitSystem::metric);
    CHECK_THAT(inside_text(plan), Contains("5.72 m3     0.65 m3   6.37 m3"));
    CHECK_THAT(inside_text(plan), Contains("1.34 m3             0.00 m3   1.34 m3"));
    plan.footing->spoil_stays = false;
    // 1.34 + 0.569 = 1.909.
    CHECK_THAT(inside_text(plan), Contains("1.34 m3             0.57 m3   1.91 m3") && Contains("carried out"));
}

TEST_CASE("without a footing drain there is no section", "[inside]")
{
    auto plan = test::sample_plan();
    plan.footing.reset();
    CHECK(inside_text(plan).empty());
}

TEST_CASE("the core is reported with both corners, below the ground and above the floor", "[inside]")
{
    const auto metric = through_wall_text(plan_in(UnitSystem::metric));
    CHECK_THAT(metric, Contains("450 mm above") && Contains("650 mm below"));
    CHECK_THAT(metric, Contains("10000 mm") && Contains("2000 mm"));
    CHECK_THAT(metric, Contains("800 mm below") && Contains("100 mm below"));
    // 10 m = 32 ft 9.70 in, 11/16; 2 m = 6 ft 6.74 in, 3/4.
    const auto us = through_wall_text(plan_in(UnitSystem::us));
    CHECK_THAT(us, Contains("32'-9 11/16\"") && Contains("6'-6 3/4\""));
    auto plan = plan_in(UnitSystem::metric);
    std::get<TrenchPlan>(plan.outcomes[0].by_source[1]).laid.wall_core->above_floor_m.reset();
    CHECK_THAT(through_wall_text(plan), Contains("no floor given"));
    // Only the outlets that work have a core to drill.
    plan.outcomes[0].works = false;
    CHECK(through_wall_text(plan).empty());
}

TEST_CASE("the material list names size, count and unit", "[inside]")
{
    const auto plan = plan_in(UnitSystem::metric);
    const auto text = materials_text(plan, plan.outcomes[0]);
    CHECK_THAT(text, Contains("22.5 deg, for pipe 114 mm outside      4  each"));
    CHECK_THAT(text, Contains("26.01 m laid, 5 % waste"));
    CHECK_THAT(text, Contains("27  bag"));
    CHECK(materials_text(plan, plan.outcomes[1]).empty());
}

TEST_CASE("a drain along the footing that lies outside is found, and the floor asked for once", "[inside]")
{
    auto plan = plan_in(UnitSystem::metric);
    plan.site.foundations = {{.outer = {{-6, 12}, {6, 12}, {6, 20}, {-6, 20}}, .holes = {}}};
    CHECK(findings_named(plan, "layers.footing_drain").empty());
    plan.site.footing_drains[0].line.push_back({-4, 9}); // 12 to 9: 3 m outside
    auto found = findings_named(plan, "layers.footing_drain");
    REQUIRE(found.size() == 1);
    CHECK_THAT(found[0].text, Contains("FD-1") && Contains("over 3.00 m"));
    plan.site.foundations.clear();
    found = findings_named(plan, "layers.footing_drain");
    REQUIRE(found.size() == 1);
    CHECK_THAT(found[0].text, Contains("outside every foundation."));
    CHECK(findings_named(plan, "inside.floor").empty());
    plan.job.floor_elev_m.reset();
    CHECK(findings_named(plan, "inside.floor").size() == 1);
    CHECK(findings_named(plan, "footing.trench_depth").size() == 1);
    // No pump: the pit is a guess.
    plan.footing->pits[0].source.reset();
    CHECK(findings_named(plan, "layers.footing_drain").size() == 2);
}
