#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/probable_runs.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace trenchwright;

namespace {

Polygon box(double x_m, double y_m, double to_x_m, double to_y_m)
{
    return {.outer = {{x_m, y_m}, {to_x_m, y_m}, {to_x_m, to_y_m}, {x_m, to_y_m}}, .holes = {}};
}

Mark mark(const std::string& id, Facility facility, Polyline line)
{
    Mark made;
    made.id = id;
    made.facility = facility;
    made.line = std::move(line);
    return made;
}

/// A lot of 20 by 30 m, its house 8 m deep across the middle at y = 16, the street below y = 0.
Site lot(std::vector<Mark> marks)
{
    Site site;
    site.parcel = {box(0, 0, 20, 30)};
    site.right_of_way = {box(-20, -10, 40, 0)};
    site.neighbors = {box(-20, 0, 0, 30), box(20, 0, 40, 30)};
    site.foundations = {box(4, 16, 16, 24)};
    site.marks = std::move(marks);
    return site;
}

Site with_runs(std::vector<Mark> marks, bool irrigation_runs_on = false)
{
    return with_probable_runs(
        lot(std::move(marks)),
        {.reach_m = 1.5, .off_lot_m = 6, .snap_m = 0.05, .irrigation_runs_on = irrigation_runs_on}, UnitSystem::metric);
}

bool at(const Point& p, double x_m, double y_m)
{
    return std::hypot(p.x_m - x_m, p.y_m - y_m) < 1e-9;
}

} // namespace

TEST_CASE("a mark that stops in mid-lawn runs straight on to the house, as a probable run and not as a mark",
          "[probable_runs]")
{
    const auto site = with_runs({mark("G", Facility::gas, {{10, -5}, {10, 6}})});
    REQUIRE(site.marks.size() == 2);
    CHECK(supplied_marks(site).size() == 1);
    CHECK(!site.marks[0].probable());
    const auto& run = site.marks[1];
    CHECK(run.probable());
    CHECK(run.continues == "G");
    CHECK(run.facility == Facility::gas);
    CHECK(at(run.line.front(), 10, 6));
    CHECK(at(run.line.back(), 10, 16));
    CHECK(mark_name(run) == "probable run of gas G, not marked");
    REQUIRE(site.findings.size() == 1);
    CHECK(site.findings[0].severity == Severity::warning);
    CHECK(at(*site.findings[0].at, 10, 6));
}

TEST_CASE("its run goes its own way, whichever way the lot is turned or mirrored", "[probable_runs]")
{
    // From (6, 4) up and to the right by 3 in 4: the wall at y = 16 is met at x = 6 + 12 * 3 / 4 = 15.
    const auto site = with_runs({mark("G", Facility::gas, {{3, 0}, {6, 4}})});
    REQUIRE(site.marks.size() == 2);
    CHECK(at(site.marks[1].line.back(), 15, 16));
    const auto mirrored = with_runs({mark("G", Facility::gas, {{17, 0}, {14, 4}})});
    REQUIRE(mirrored.marks.size() == 2);
    CHECK(at(mirrored.marks[1].line.back(), 5, 16));
    const auto reversed = with_runs({mark("G", Facility::gas, {{6, 4}, {3, 0}})});
    REQUIRE(reversed.marks.size() == 2);
    CHECK(reversed.marks[1].line == site.marks[1].line);
}

TEST_CASE("an end at a building, a lot line, the street's edge, a septic part or an inlet is an end", "[probable_runs]")
{
    CHECK(with_runs({mark("G", Facility::gas, {{10, -5}, {10, 14.6}})}).marks.size() == 1); // 1.4 m from the wall
    CHECK(with_runs({mark("G", Facility::gas, {{10, -5}, {10, 14.4}})}).marks.size() == 2); // 1.6 m
    CHECK(with_runs({mark("G", Facility::gas, {{10, -5}, {10, 1.4}})}).marks.size() == 1);  // 1.4 m in from the street
    CHECK(with_runs({mark("G", Facility::gas, {{10, 8}, {18.6, 8}})}).marks.size() == 2);   // one end only
    auto lamp = mark("E", Facility::electric, {{10, -5}, {10, 6}});
    lamp.ends_seen = true;
    CHECK(with_runs({lamp}).marks.size() == 1);
    auto served = lot({mark("S", Facility::sanitary_sewer, {{10, -5}, {10, 6}})});
    served.septic.push_back({.id = "tank", .place = Point{10, 7}, .holder = {}, .origin = {}});
    CHECK(with_probable_runs(served, {.reach_m = 1.5, .off_lot_m = 6, .snap_m = 0.05}, UnitSystem::us).marks.size() ==
          1);
    auto drained = lot({mark("D", Facility::storm_sewer, {{10, -5}, {10, 6}})});
    Outlet inlet;
    inlet.kind = OutletKind::inlet;
    inlet.place = Point{10, 7};
    drained.outlets = {inlet};
    CHECK(with_probable_runs(drained, {.reach_m = 1.5, .off_lot_m = 6, .snap_m = 0.05}, UnitSystem::us).marks.size() ==
          1);
}

TEST_CASE("a mark of its kind that goes on explains an end, one that stops beside it does not", "[probable_runs]")
{
    const auto up = mark("G-1", Facility::gas, {{10, -5}, {10, 6}});
    CHECK(with_runs({up, mark("G-2", Facility::gas, {{10, 7}, {10, 15}})}).marks.size() == 2);   // a gap in the paint
    CHECK(with_runs({up, mark("G-2", Facility::gas, {{1, 6.5}, {19, 6.5}})}).marks.size() == 2); // a main across
    // Of another kind: the gas line runs on up, and the power line, which comes from the house, on down.
    CHECK(with_runs({up, mark("E", Facility::electric, {{10, 7}, {10, 15}})}).marks.size() == 4);
    const auto beside = with_runs({up, mark("G-2", Facility::gas, {{10.5, -5}, {10.5, 6}})});
    CHECK(beside.marks.size() == 4); // both stop, both run on
}

TEST_CASE("where nothing stands ahead the run goes to the nearest wall, or to the lot line from a house",
          "[probable_runs]")
{
    // Up along x = 2 beside the house, whose wall is at x = 4.
    const auto past = with_runs({mark("W", Facility::water, {{2, -5}, {2, 18}})});
    REQUIRE(past.marks.size() == 2);
    CHECK(at(past.marks[1].line.back(), 4, 18));
    const auto lamp = with_runs({mark("E", Facility::electric, {{10, 24}, {10, 27}})});
    REQUIRE(lamp.marks.size() == 2);
    CHECK(at(lamp.marks[1].line.back(), 10, 30));
}

TEST_CASE("ends in the street count where their run comes onto our lot, those on a neighbor's lot never",
          "[probable_runs]")
{
    CHECK(with_runs({mark("G", Facility::gas, {{-18, -5}, {30, -5}})}).marks.size() == 1);
    const auto service = with_runs({mark("G", Facility::gas, {{10, -9}, {10, -5}})});
    REQUIRE(service.marks.size() == 2);
    CHECK(at(service.marks[1].line.back(), 10, 16));
    CHECK(with_runs({mark("G", Facility::gas, {{10, -9}, {10, -6.5}})}).marks.size() == 1); // a main, 6.5 m off
    CHECK(with_runs({mark("G", Facility::gas, {{30, -1}, {30, 6}})}).marks.size() == 1);
}

TEST_CASE("irrigation ends at its heads: a note, and a run only where it is asked for", "[probable_runs]")
{
    const auto heads = mark("I", Facility::reclaimed, {{10, 16}, {10, 6}});
    const auto site = with_runs({heads});
    CHECK(site.marks.size() == 1);
    REQUIRE(site.findings.size() == 1);
    CHECK(site.findings[0].severity == Severity::note);
    CHECK(with_runs({heads}, true).marks.size() == 2);
}
