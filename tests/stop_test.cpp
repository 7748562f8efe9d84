#include "profile_problems.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/plan/choices.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/plan/rank.hpp"
#include "trenchwright/plan/safety_findings.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/report/crew_alerts.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace trenchwright;
using namespace trenchwright::testing;
using Catch::Matchers::Contains;

namespace {

constexpr double ft = ft_in_m;

Polygon box(double x, double y, double to_x, double to_y)
{
    return {.outer = {{x, y}, {to_x, y}, {to_x, to_y}, {x, to_y}}, .holes = {}};
}

/// A trench 1 ft wide and 100 ft long along the x axis, equally deep, measured and priced.
TrenchPlan feet_deep(double depth_ft, const Site& site, Rules& rules)
{
    rules.route.section = {.width_m = ft, .outside_diameter_m = 1e-6, .wall_m = 0, .bedding_m = 0};
    rules.route.restore_width_m = ft;
    TrenchPlan trench;
    trench.line.route.line = {{0, 0}, {100 * ft, 0}};
    trench.laid.problem = problem_over({{0, depth_ft * ft}, {100 * ft, depth_ft * ft}});
    trench.laid.problem.section = rules.route.section;
    trench.laid.profile.points = {{0, 0}, {100 * ft, 0}};
    trench.line.facts = facts_along(site, trench.line.route.line,
                                    surfaces_along(site, trench.line.route.line, rules.route), rules.route);
    measure_and_price_trench(trench, site, rules);
    return trench;
}

TrenchPlan six_feet_deep(const Site& site, Rules& rules)
{
    return feet_deep(6, site, rules);
}

Site house_beside()
{
    Site site;
    site.foundations = {box(40 * ft, 5 * ft, 60 * ft, 20 * ft)};
    site.outlets.resize(1);
    return site;
}

/// The findings of a trench as the plan gives them.
std::vector<Finding> findings_of(const Site& site, const Rules& rules, const TrenchPlan& trench)
{
    PlanBasis plan{.job = {},
                   .site = site,
                   .ground = Ground::from_spots(std::vector<Point3>{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {})};
    plan.job.rules = rules;
    return safety_findings(plan, trench);
}

std::ptrdiff_t count_of(const std::vector<Finding>& findings, Severity severity)
{
    return std::ranges::count(findings, severity, &Finding::severity);
}

OutletOutcome outcome_of(std::size_t outlet, Cents cents, std::vector<Severity> severities)
{
    OutletOutcome outcome;
    outcome.outlet = outlet;
    outcome.works = true;
    outcome.total_cents = cents;
    TrenchPlan trench;
    trench.outlet = outlet;
    for (const auto severity : severities) {
        trench.findings.push_back(finding(severity, "wedge.side_per_depth", "Lies below."));
    }
    outcome.by_source.emplace_back(trench);
    return outcome;
}

Site two_outlets(Permission first, Permission second)
{
    Site site;
    site.sources.resize(1);
    site.sources[0].water = Water::roof;
    site.outlets.resize(2);
    site.outlets[0].name = "Inlet";
    site.outlets[0].permission[Water::roof] = first;
    site.outlets[1].name = "Pop-up";
    site.outlets[1].permission[Water::roof] = second;
    return site;
}

Finding stretch_finding(Severity severity, const std::string& words, double from_m, double to_m)
{
    auto made = finding(severity, "", words, {}, from_m);
    made.row_words = words;
    made.from_station_m = from_m;
    made.to_station_m = to_m;
    return made;
}

} // namespace

TEST_CASE("a cut that reads 4'-0\" has the ladder, and one that reads 5'-0\" the protection", "[stop]")
{
    // 29 CFR 1926.651(c)(2) and .652(a)(1) ask "4 feet or more" and "5 feet or greater". 1/16 in is 0.0052 ft.
    Site site;
    site.outlets.resize(1);
    Rules rules = default_rules();
    rules.units = GENERATE(UnitSystem::us, UnitSystem::metric); // what is asked does not hang on the paper
    CHECK(feet_deep(3.9975, site, rules).safety.exits.size() == 1);
    CHECK(feet_deep(3.9940, site, rules).safety.exits.empty());
    CHECK(feet_deep(4.9975, site, rules).safety.protection.size() == 1);
    CHECK(feet_deep(4.9940, site, rules).safety.protection.empty());
    rules.safety.protection.guard_cut_m = 6 * ft;
    const auto guards = [&](double depth_ft) {
        const auto found = findings_of(site, rules, feet_deep(depth_ft, site, rules));
        return std::ranges::count(found, "protection.guard_cut", &Finding::rule);
    };
    CHECK(guards(5.9975) == 1);
    CHECK(guards(5.9940) == 0);
}

TEST_CASE("where side slopes have no room the stretch is measured and priced as shored, the rest as sloped", "[stop]")
{
    // Type C: the opening reaches 0.5 + 1.5 x 6 = 9.5 ft from the axis. A house 5 ft off, from 40 to 60 ft, is within
    // that up to sqrt(9.5^2 - 5^2) = 8.0777 ft past its corners: 31.9223 to 68.0777.
    const double past_ft = std::sqrt(9.5 * 9.5 - 5 * 5);
    const double shored_ft = 20 + 2 * past_ft;
    const auto site = house_beside();
    Rules rules = default_rules();
    const auto trench = six_feet_deep(site, rules);
    const auto& stretches = trench.safety.protection;
    REQUIRE(stretches.size() == 3);
    CHECK_FALSE(stretches[0].shored);
    CHECK(stretches[1].shored);
    CHECK(stretches[1].no_room);
    CHECK_FALSE(stretches[2].shored);
    CHECK(stretches[1].cut.span.from_m == Approx((40 - past_ft) * ft).margin(1e-6));
    CHECK(stretches[1].cut.span.to_m == Approx((60 + past_ft) * ft).margin(1e-6));
    CHECK(stretches[1].cut.max_m == Approx(6 * ft));
    CHECK(stretches[1].face_m2 == Approx(2 * 6 * shored_ft * ft * ft));
    CHECK(stretches[1].extra_machine_m3 == 0);
    const double sloped_m3 = stretches[0].extra_machine_m3 + stretches[2].extra_machine_m3;
    CHECK(sloped_m3 == Approx(1.5 * 36 * (100 - shored_ft) * ft * ft * ft));
}

TEST_CASE("what slopes may not reach is a STOP by its kind, whatever a surface is called", "[stop]")
{
    auto site = house_beside();
    Rules rules = default_rules();
    // A surface that is named like the house, and the house named among the surfaces no spoil may lie on.
    rules.route.surfaces["foundation"] = rules.route.surfaces.at("patio");
    rules.safety.spoil_off = "sidewalk driveway patio foundation";
    const auto house = findings_of(site, rules, six_feet_deep(site, rules));
    CHECK(count_of(house, Severity::stop) == 1);
    site.surfaces = {{.kind = "foundation", .area = site.foundations[0], .origin = {}}};
    site.foundations.clear();
    const auto trench = six_feet_deep(site, rules);
    const auto surface = findings_of(site, rules, trench);
    CHECK(count_of(surface, Severity::stop) == 0);
    REQUIRE(trench.safety.protection.size() == 1);
    CHECK_FALSE(trench.safety.protection[0].shored);
    REQUIRE(trench.safety.protection[0].reached.size() == 1);
    CHECK(trench.safety.protection[0].reached[0].kind == SiteObjectKind::surface);
}

TEST_CASE("shored by the job itself nothing is reached and nothing stops", "[stop]")
{
    const auto site = house_beside();
    Rules rules = default_rules();
    rules.safety.protection.shore = true;
    const auto trench = six_feet_deep(site, rules);
    CHECK(count_of(findings_of(site, rules, trench), Severity::stop) == 0);
    CHECK_FALSE(trench.safety.protection[0].no_room);
}

TEST_CASE("an outlet with a STOP comes after every one without, whatever its price and permission", "[stop]")
{
    const auto site = two_outlets(Permission::unstated, Permission::yes);
    std::vector<OutletOutcome> outcomes{outcome_of(1, 100, {Severity::warning, Severity::stop, Severity::stop}),
                                        outcome_of(0, 90000, {Severity::warning})};
    outcomes = ranked(std::move(outcomes), site);
    CHECK(outcomes[0].outlet == 0);
    CHECK(state_of(outcomes[0]) == OutletState::works);
    CHECK(state_of(outcomes[1]) == OutletState::stop);
    CHECK(outcomes[1].rank_reason == "Step 2: its plan holds 2 STOPs and that of Inlet none");
    // Where both stop, permission and price count again.
    outcomes = {outcome_of(0, 100, {Severity::stop}), outcome_of(1, 200, {Severity::stop})};
    outcomes = ranked(std::move(outcomes), site);
    CHECK(outcomes[0].outlet == 1);
    CHECK_THAT(outcomes[0].rank_reason, Contains("No workable outlet"));
    // A plan that stops is still nearer than no plan at all.
    outcomes = {outcome_of(0, 100, {}), outcome_of(1, 200, {Severity::stop})};
    outcomes[0].by_source[0] = Refusal{};
    outcomes[0].works = false;
    outcomes = ranked(std::move(outcomes), site);
    CHECK(outcomes[0].outlet == 1);
    CHECK(state_of(outcomes[1]) == OutletState::refused);
}

TEST_CASE("a choice with a STOP dominates none without", "[stop]")
{
    Choice safe;
    safe.variant = "as planned";
    safe.works = true;
    safe.price.likely = 500;
    auto stopped = safe;
    stopped.outlet = 1;
    stopped.price.likely = 100;
    stopped.stops = 1;
    std::vector<Choice> choices{safe, stopped};
    mark_dominated(choices, {"Inlet", "Pop-up"});
    CHECK(choices[0].dominated_by.empty());
    CHECK(state_of(choices[1]) == OutletState::stop);
}

TEST_CASE("station rows say what holds there, from where and to where", "[stop]")
{
    TrenchPlan trench;
    trench.findings = {stretch_finding(Severity::warning, "ladder", 2, 9),
                       stretch_finding(Severity::stop, "STOP footing", 4, 6),
                       finding(Severity::stop, "", "A STOP that names no stretch.", {}, 8),
                       finding(Severity::warning, "", "Nothing for the crew.", {}, 5)};
    CHECK(alert_words(trench, 1).empty());
    CHECK(alert_words(trench, 2) == "ladder from here");
    CHECK(alert_words(trench, 3) == "ladder");
    CHECK(alert_words(trench, 4) == "STOP footing from here; ladder");
    CHECK(alert_words(trench, 5) == "STOP footing; ladder");
    CHECK(alert_words(trench, 6) == "STOP footing to here; ladder");
    CHECK(alert_words(trench, 8) == "STOP here; ladder");
    CHECK(alert_words(trench, 9) == "ladder to here");
    CHECK(alert_words(trench, 9.2).empty());
    CHECK(alert_stations_m(trench) == std::vector<double>{2, 4, 6, 8, 8, 9});
}

TEST_CASE("findings on a paper are graded, STOPs first, and name their trenches", "[stop]")
{
    auto outcome = outcome_of(0, 100, {Severity::note, Severity::warning});
    outcome.by_source.push_back(outcome_of(0, 100, {Severity::warning, Severity::stop}).by_source[0]);
    const auto lines = graded_findings(outcome);
    REQUIRE(lines.size() == 2); // the note is none for a paper; the warning of both trenches is one
    CHECK(line_text(lines[0]) == "STOP, trench 2: Lies below.");
    CHECK(line_text(lines[1]) == "Warning, trenches 1 and 2: Lies below.");
}

TEST_CASE("spoil that lacks room beside less than can be printed is no finding", "[spoil]")
{
    const auto said_of = [](double length_m) {
        const Site site = house_beside();
        Rules rules = default_rules();
        auto trench = six_feet_deep(site, rules);
        trench.safety = {};
        trench.safety.spoil.left.taken.resize(1);
        trench.safety.spoil.left.taken_m = length_m;
        const auto findings = findings_of(site, rules, trench);
        return std::ranges::count(findings, "spoil.setback", &Finding::rule);
    };
    CHECK(said_of(0.004) == 0); // 0.00 m, 0.0 ft
    CHECK(said_of(0.1) == 1);
}
