#include "profile_problems.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/crossing_record.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/rules/rules.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <catch2/catch.hpp>
#include <numbers>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

constexpr double degree = std::numbers::pi / 180;

Mark mark_of(Facility facility, Polyline line)
{
    Mark mark;
    mark.id = "M";
    mark.facility = facility;
    mark.line = std::move(line);
    return mark;
}

/// A level trench of 20 m along the x axis: ground 100, invert 99.3 but for a fall of a thousandth of a millimeter.
struct Lot {
    Site site;
    Rules rules = default_rules();
    Polyline line{{0, 0}, {20, 0}};
    ProfileProblem problem = problem_over({{0, 100}, {20, 100}});
    Profile profile{.points = {{0, 99.3}, {20, 99.3}}};

    Lot() { rules.route.section = problem.section; }
    std::vector<CrossingRecord> records()
    {
        const auto met = crossings_along(site, line, problem, profile, rules.route);
        return crossing_records(site, problem, profile, met, {.clearances = rules.clearances, .ties = rules.ties});
    }
    std::vector<ParallelRun> runs() const { return parallel_runs(site, line, rules.route, rules.clearances); }
};

// The pipe of problem_over: 110 mm outside, wall 3 mm. Underside 99.297, top 99.407.
constexpr double underside = 99.297;
constexpr double top = 99.407;

} // namespace

TEST_CASE("every facility has a row of clearances", "[clearance]")
{
    const auto rules = default_rules().clearances;
    for (const auto facility : all_facilities()) {
        CHECK(separation_from(facility, rules).crossing_m > 0);
        CHECK(separation_from(facility, rules).side_m > 0);
    }
    // The figures of the table's sources: gas 1 ft crossing and 3 ft parallel as cities and utilities ask, water 18 in
    // and 10 ft (Tolono IL code; Chicago 18-29-603.2.1), supply lines 12 in (CGA Best Practices 2-12).
    CHECK(separation_from(Facility::gas, rules).crossing_m == Approx(12 * 0.0254));
    CHECK(separation_from(Facility::gas, rules).side_m == Approx(3 * 0.3048));
    CHECK(separation_from(Facility::water, rules).crossing_m == Approx(18 * 0.0254));
    CHECK(separation_from(Facility::water, rules).side_m == Approx(10 * 0.3048));
    CHECK(separation_from(Facility::electric, rules).side_m == Approx(12 * 0.0254));
    CHECK_THROWS_AS(separation_from(Facility::gas, {}), Error);
}

TEST_CASE("an unknown depth is no pass: the band of conflict is told, and each depth at its ends leaves just the gap",
          "[clearance]")
{
    Lot lot;
    lot.site.marks = {mark_of(Facility::gas, {{8, -3}, {8, 3}})};
    lot.site.marks[0].width_m = 0.05;
    const auto record = lot.records().at(0);
    CHECK(record.exposing == Exposing::depth_unknown);
    CHECK(before_grade(record.exposing));
    CHECK_FALSE(record.passing);
    const double gap = 12 * 0.0254;
    // In conflict unless its underside is a gap above the pipe's top, or its top a gap below the pipe's underside.
    CHECK(record.conflict_depth_m.from_m == Approx(100 - (top + gap + 0.05)));
    CHECK(record.conflict_depth_m.to_m == Approx(100 - (underside - gap)));
    for (int i = 0; i <= 300; ++i) { // every depth tried as if it were exposed
        const double depth = i * 0.005;
        lot.site.marks[0].exposed_depth_m = depth;
        lot.site.marks[0].quality = QualityLevel::a;
        const auto tried = lot.records().at(0);
        const bool inside =
            depth > record.conflict_depth_m.from_m + 1e-9 && depth < record.conflict_depth_m.to_m - 1e-9;
        CHECK((tried.exposing == Exposing::gap_too_small) == inside);
    }
}

TEST_CASE("a depth that was not measured by exposure stays unknown", "[clearance]")
{
    Lot lot;
    lot.site.marks = {mark_of(Facility::gas, {{8, -3}, {8, 3}})};
    lot.site.marks[0].exposed_depth_m = 2.5;
    for (const auto quality : {QualityLevel::b, QualityLevel::c, QualityLevel::d}) {
        lot.site.marks[0].quality = quality;
        CHECK(lot.records().at(0).exposing == Exposing::not_by_exposure);
        CHECK_FALSE(lot.records().at(0).passing);
        CHECK(known_lines(lot.site, lot.line, lot.problem.ground, lot.problem.section, lot.rules.clearances).empty());
    }
    lot.site.marks[0].quality = QualityLevel::a;
    CHECK(lot.records().at(0).exposing == Exposing::recorded);
}

TEST_CASE("a known crossing: gap, way and the stations where the two lie one above the other", "[clearance]")
{
    for (const double angle : {90 * degree, 60 * degree, 30 * degree}) {
        Lot lot;
        const double dx = 3 / std::tan(angle);
        lot.site.marks = {mark_of(Facility::gas, {{10 - dx, -3}, {10 + dx, 3}})};
        lot.site.marks[0].exposed_depth_m = 0.2;
        lot.site.marks[0].quality = QualityLevel::a;
        const auto assumed =
            known_lines(lot.site, lot.line, lot.problem.ground, lot.problem.section, lot.rules.clearances);
        CHECK(assumed.at(0).top_elev_m - assumed.at(0).bottom_elev_m == Approx(4 * 0.0254)); // clearance.unknown_width
        CHECK(lot.records().at(0).width_taken);
        lot.site.marks[0].width_m = 0.06;
        const auto known =
            known_lines(lot.site, lot.line, lot.problem.ground, lot.problem.section, lot.rules.clearances);
        REQUIRE(known.size() == 1);
        CHECK(known[0].top_elev_m == Approx(99.8));
        CHECK(known[0].bottom_elev_m == Approx(99.74));
        // By slices across both strips: pipe |y| <= 0.055, facility within 0.03 of its line.
        double first = 20;
        double last = 0;
        for (int i = 0; i <= 40000; ++i) {
            const double x = i * 0.0005;
            if (distance_m(Polyline{{x, -0.055}, {x, 0.055}}, lot.site.marks[0].line) <= 0.03) {
                first = std::min(first, x);
                last = std::max(last, x);
            }
        }
        CHECK(known[0].span.from_m == Approx(first).margin(0.001));
        CHECK(known[0].span.to_m == Approx(last).margin(0.001));
        const auto passed = lot.records().at(0).passing.value();
        CHECK_FALSE(passed.over);
        CHECK(passed.gap_m == Approx(99.74 - top));
        CHECK_FALSE(lot.records().at(0).width_taken);
    }
}

TEST_CASE("own hand-dig length and volume of a crossing by the formula", "[clearance]")
{
    Lot lot;
    lot.site.marks = {mark_of(Facility::gas, {{10 - 3, -3}, {10 + 3, 3}}),
                      mark_of(Facility::water, {{10.5, -3}, {10.5, 3}})};
    lot.site.marks[0].width_m = 0.1;
    const auto records = lot.records();
    // (w + 2t) / sin a + b / tan a at 45 deg; the trench is cut 100 - 99.3 + 0.003 + 0.05 deep and 0.3 wide.
    const double length = (0.1 + 2 * 18 * 0.0254) / std::sin(45 * degree) + 0.3;
    CHECK(records.at(0).hand_length_m == Approx(length).epsilon(1e-9));
    CHECK(records.at(0).hand_volume_m3 == Approx(length * 0.3 * 0.753).epsilon(1e-9));
    CHECK(records.at(1).hand_length_m == Approx(2 * 18 * 0.0254).epsilon(1e-9)); // stretches may overlap
}

TEST_CASE("running along a mark is told with stations and gap; crossing it is not running along it", "[clearance]")
{
    Lot lot;
    lot.site.marks = {mark_of(Facility::gas, {{5, 0.8}, {12, 0.8}}), mark_of(Facility::gas, {{15, -3}, {15, 3}}),
                      mark_of(Facility::electric, {{5, -0.8}, {12, -0.8}})};
    lot.site.marks[0].width_m = lot.site.marks[2].width_m = 0.04;
    auto runs = lot.runs();
    // Gas: pipe to gas 0.8 - 0.055 - 0.02 = 0.725, under the 3 ft asked; its zone ends at 0.477 + 0.15 < 0.8. Power: 12
    // in asked, kept.
    REQUIRE(runs.size() == 1);
    CHECK(runs[0].mark == 0);
    CHECK(runs[0].gap_m == Approx(0.725));
    CHECK(runs[0].too_near);
    CHECK_FALSE(runs[0].in_zone);
    // Round ends: the strip's edge is 0.8 - 0.055 away from the gas line; within 0.9144 + 0.02 of its end.
    const double beyond = std::sqrt(std::pow(0.9144 + 0.02, 2) - std::pow(0.8 - 0.055, 2));
    CHECK(runs[0].span.from_m == Approx(5 - beyond).epsilon(1e-6));
    CHECK(runs[0].span.to_m == Approx(12 + beyond).epsilon(1e-6));
    lot.site.marks[0].position_accuracy_m = 0.4; // now its zone reaches the trench too
    runs = lot.runs();
    REQUIRE(runs.size() == 1);
    CHECK(runs[0].in_zone);
    lot.site.marks[0].position_accuracy_m = 0;
    lot.rules.clearances.by_facility[Facility::gas].side_m = 0.72;
    CHECK(lot.runs().empty());
}
