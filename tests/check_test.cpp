// What `check` says of planted faults; each is planted into a sound site and found alone.
#include "trenchwright/plan/check_job.hpp"
#include "trenchwright/plan/spot_outliers.hpp"
#include "trenchwright/report/check_text.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <string>

using namespace trenchwright;

namespace {

double hill_m(const Point& p)
{
    return 100 + 0.08 * p.y_m + 0.03 * p.x_m;
}

Origin in_file(const std::string& file, long long feature)
{
    return {.file = file + ".csv", .layer = file, .feature_id = feature};
}

/// A lot of 20 x 30 m on an even slope, with a house, a downspout at its wall, a curb below and a gas line.
Site sound_site()
{
    Site site;
    site.parcel = {{.outer = {{0, 0}, {20, 0}, {20, 30}, {0, 30}}, .holes = {}}};
    site.foundations = {{.outer = {{5, 15}, {15, 15}, {15, 25}, {5, 25}}, .holes = {}}};
    long long feature = 0;
    for (int x = -2; x <= 22; x += 6) {
        for (int y = -4; y <= 32; y += 6) {
            const Point at{static_cast<double>(x), static_cast<double>(y)};
            site.spots.push_back({.id = std::to_string(++feature),
                                  .at = at,
                                  .elev_m = hill_m(at),
                                  .origin = in_file("spots", feature)});
        }
    }
    Source source;
    source.id = "DS";
    source.at = {5, 14.9};
    source.origin = in_file("sources", 1);
    site.sources = {source};
    Outlet curb;
    curb.id = "curb";
    curb.name = "Curb";
    curb.kind = OutletKind::curb;
    curb.place = Polyline{{4, -2}, {8, -2}};
    curb.gutter_elev_m = hill_m({6, -2});
    curb.curb_top_elev_m = hill_m({6, -2}) + 0.15;
    curb.origin = in_file("outlets", 1);
    site.outlets = {curb};
    Mark gas;
    gas.id = "G";
    gas.facility = Facility::gas;
    gas.line = {{2, -5}, {2, 15}, {5, 16}};
    gas.origin = in_file("marks", 1);
    site.marks = {gas};
    return site;
}

Ground ground_of_spots(const Site& site)
{
    std::vector<Point3> points;
    for (const auto& spot : site.spots) {
        points.push_back({.x_m = spot.at.x_m, .y_m = spot.at.y_m, .elev_m = spot.elev_m});
    }
    return Ground::from_spots(points, {});
}

std::vector<DataFault> faults_of(const Site& site)
{
    const auto ground = ground_of_spots(site);
    return data_faults(site, &ground, default_rules());
}

/// The one fault of a site into which one is planted.
DataFault planted(const std::function<void(Site&)>& plant)
{
    auto site = sound_site();
    plant(site);
    const auto faults = faults_of(site);
    REQUIRE(faults.size() == 1);
    return faults.front();
}

} // namespace

TEST_CASE("a sound site has no fault", "[check]")
{
    CHECK(faults_of(sound_site()).empty());
}

TEST_CASE("a shot that disagrees with its neighbors is named, in the middle of the survey and on its edge", "[check]")
{
    for (const std::size_t which : {std::size_t{0}, std::size_t{3}, std::size_t{17}, std::size_t{34}}) {
        for (const double off_m : {10.0, -10.0, 3.0}) {
            auto site = sound_site();
            site.spots[which].elev_m += off_m;
            const auto found = spot_outliers(site.spots, {.min_off_m = 0.9, .usual_factor = 8});
            REQUIRE(found.size() == 1);
            CHECK(found[0].spot == which);
            CHECK(found[0].off_m == Approx(off_m)); // the others lie in one plane, which holds at its place
        }
    }
    auto site = sound_site();
    site.spots[8].elev_m += 10;
    site.spots[25].elev_m -= 4;
    CHECK(spot_outliers(site.spots, {.min_off_m = 0.9, .usual_factor = 8}).size() == 2);
    site.spots.resize(5);
    CHECK(spot_outliers(site.spots, {.min_off_m = 0.9, .usual_factor = 8}).empty());
    const auto fault = planted([](Site& s) { s.spots[17].elev_m += 10; });
    CHECK(fault.check == "spot off its neighbors");
    CHECK(fault.origin == in_file("spots", 18));
    CHECK(fault.grade == FaultGrade::grave);
}

TEST_CASE("shots on an even slope, however steep, are not doubted, nor is a wall of two feet", "[check]")
{
    auto site = sound_site();
    for (auto& spot : site.spots) {
        spot.elev_m = 100 + 0.6 * spot.at.y_m + (spot.at.x_m > 9 ? 0.6096 : 0);
    }
    CHECK(spot_outliers(site.spots, {.min_off_m = 0.9144, .usual_factor = 8}).empty());
}

TEST_CASE("heights of 0 among others are doubted", "[check]")
{
    auto site = sound_site();
    site.spots[2].elev_m = 0;
    const auto faults = faults_of(site);
    REQUIRE(!faults.empty());
    CHECK(std::ranges::count(faults, "height 0 for unknown", &DataFault::check) == 1);
}

TEST_CASE("an outlet in feet beside ground in meters is named as that; one off the ground by a curb or two is doubted",
          "[check]")
{
    // 1 m = 3.28084 ft
    const auto feet = planted([](Site& site) {
        site.outlets[0].curb_top_elev_m.reset();
        site.outlets[0].gutter_elev_m = *site.outlets[0].gutter_elev_m * 3.28084;
    });
    CHECK(feet.check == "heights in another unit");
    CHECK(feet.grade == FaultGrade::grave);
    CHECK(feet.origin == in_file("outlets", 1));
    const auto sunk = planted([](Site& site) {
        site.outlets[0].curb_top_elev_m.reset();
        site.outlets[0].gutter_elev_m = *site.outlets[0].gutter_elev_m - 2.9 * 0.3048;
    });
    CHECK(sunk.check == "outlet off the ground");
    CHECK_THAT(sunk.what, Catch::Contains("gutter of the outlet curb") && Catch::Contains("under it"));
}

TEST_CASE("two layers of heights that stand as feet to meters are named", "[check]")
{
    const auto fault = planted([](Site& site) {
        Breakline curb;
        curb.origin = in_file("curbs", 1);
        curb.line = {{.x_m = 0, .y_m = 0, .elev_m = 101 * 3.28084}, {.x_m = 20, .y_m = 0, .elev_m = 101 * 3.28084}};
        site.breaklines = {curb};
    });
    CHECK(fault.check == "heights in another unit");
}

TEST_CASE("outlets above everything or on a neighbor's lot, sources off the walls and lines drawn twice are named",
          "[check]")
{
    const auto above = planted([](Site& site) {
        site.outlets[0].curb_top_elev_m.reset();
        site.outlets[0].gutter_elev_m.reset();
        site.outlets[0].kind = OutletKind::popup;
        site.outlets[0].place = Point{20, 30};
    });
    CHECK(above.check == "outlet above everything");
    const auto theirs = planted([](Site& site) {
        site.neighbors = {{.outer = {{0, -30}, {20, -30}, {20, 0}, {0, 0}}, .holes = {}}};
        site.neighbor_ids = {"next"};
    });
    CHECK(theirs.check == "outlet on a neighbor's lot");
    CHECK_THAT(theirs.what, Catch::Contains("next"));
    const auto away = planted([](Site& site) { site.sources[0].at = {5, 13}; });
    CHECK(away.check == "source off every wall");
    CHECK_THAT(away.what, Catch::Contains("6.6 ft")); // 2 m
    const auto twice = planted([](Site& site) {
        auto again = site.marks[0];
        again.id = "G2";
        std::ranges::reverse(again.line);
        site.marks.push_back(again);
    });
    CHECK(twice.check == "line given twice");
    CHECK_THAT(twice.what, Catch::Contains("the other way round"));
    const auto letters = planted([](Site& site) {
        site.outlets[0].name = "Rinne Stra\xEF\xBF\xBD"
                               "e";
    });
    CHECK(letters.check == "letters misread");
}

TEST_CASE("what is worst stands first, and each fault says where, why and what to do", "[check]")
{
    auto site = sound_site();
    site.spots[17].elev_m += 10;
    site.marks.push_back(site.marks[0]);
    site.marks[1].id = "G2";
    const JobCheck check{.faults = faults_of(site), .frame = site.frame};
    REQUIRE(check.faults.size() == 2);
    CHECK(check.faults[0].check == "spot off its neighbors");
    const auto text = check_text(check, Job{});
    CHECK_THAT(text, Catch::Contains("cannot be read: 0; grave: 1; doubtful: 1") &&
                         Catch::Contains("spots.csv, layer spots, feature 18, at (") && Catch::Contains("Why: ") &&
                         Catch::Contains("Do: "));
}
