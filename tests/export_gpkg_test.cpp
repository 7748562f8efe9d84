#include "export_fixture.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"

#include <catch2/catch.hpp>
#include <chrono>
#include <limits>
#include <thread>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

LayerData layer_of(const std::filesystem::path& file, const std::string& name)
{
    LayerSource source;
    source.file = file;
    source.layer = name;
    return read_layer(source);
}

const std::string& value(const Feature& feature, const std::string& field)
{
    INFO(field);
    REQUIRE(feature.values.contains(field));
    return feature.values.at(field);
}

double number(const Feature& feature, const std::string& field)
{
    return std::stod(value(feature, field));
}

/// native = origin + meters / meters_per_native (gis/frame.hpp), within a millionth of a native unit
void check_place(const ShapePoint& at, const Frame& frame, const Point& p)
{
    CHECK(at.x == Approx(frame.origin_native_x + p.x_m / frame.meters_per_native).margin(1e-6).epsilon(0));
    CHECK(at.y == Approx(frame.origin_native_y + p.y_m / frame.meters_per_native).margin(1e-6).epsilon(0));
}

const ShapeLine& line_in(const Feature& feature)
{
    return std::get<std::vector<ShapeLine>>(feature.shape).at(0);
}

const ShapePoint& point_in(const Feature& feature)
{
    return std::get<std::vector<ShapePoint>>(feature.shape).at(0);
}

struct Written {
    TestFolder folder;
    JobPlan plan = sample_plan();
    std::filesystem::path file = folder / "plan.gpkg";
    Written() { write_plan_gpkg(plan, file); }
    [[nodiscard]] LayerData layer(const std::string& name) const { return layer_of(file, name); }
};

} // namespace

TEST_CASE("the route is read back in the grid of the files, with inverts in the site's unit of elevation", "[export]")
{
    const Written written;
    const auto route = written.layer("route");
    CHECK(route.wkt == written.plan.site.frame.wkt);
    REQUIRE(route.features.size() == 2);
    const auto& line = line_in(route.features[0]);
    // vertices, and the grade break at 5 m
    const std::vector<Point3> expected{{0, 0, 29.7}, {0, 5, 29.8}, {0, 8, 29.8 + 0.3 * 3 / 8}, {3, 12, 30.1}};
    REQUIRE(line.size() == expected.size());
    for (std::size_t i = 0; i < line.size(); ++i) {
        check_place(line[i], written.plan.site.frame, flat(expected[i]));
        REQUIRE(line[i].file_z);
        CHECK(*line[i].file_z == Approx(expected[i].elev_m * 3937 / 1200)); // US survey foot
    }
    CHECK(value(route.features[0], "outlet") == "curb");
    CHECK(value(route.features[0], "rank") == "1");
    CHECK(value(route.features[0], "source") == "downspout east");
    CHECK(value(route.features[1], "source") == "sump");
    CHECK(value(route.features[1], "permission") == "ask");
    CHECK(number(route.features[0], "length_m") == 13);
    CHECK(value(route.features[0], "price_cents") == "8800"); // of estimate_lines, 0.55 m3 at 160
}

TEST_CASE("stations and crossings are read back where they are", "[export]")
{
    const Written written;
    const auto stations = written.layer("stations");
    REQUIRE(stations.features.size() == 4);
    check_place(point_in(stations.features[1]), written.plan.site.frame, {0, 8});
    CHECK(value(stations.features[1], "station") == station_text(8, UnitSystem::us));
    CHECK(number(stations.features[1], "cut_m") == 0.846);
    CHECK(number(stations.features[1], "fall_ratio") == 0.02);
    CHECK(value(stations.features[1], "by_hand") == "1");
    const auto crossings = written.layer("crossings");
    REQUIRE(crossings.features.size() == 4);
    check_place(point_in(crossings.features[0]), written.plan.site.frame, {0, 3});
    CHECK(value(crossings.features[0], "facility") == "gas");
    CHECK(value(crossings.features[0], "depth") == "unknown");
    CHECK(!crossings.features[0].values.contains("depth_m"));
    CHECK(value(crossings.features[1], "depth") == "exposed");
    CHECK(number(crossings.features[1], "depth_m") == Approx(0.9));
    CHECK(number(crossings.features[1], "angle_deg") == Approx(60));
    CHECK(value(crossings.features[1], "letters") == "W");
}

TEST_CASE("a zone is the stretch of the route between its stations, with the bend in it", "[export]")
{
    const Written written;
    const auto zones = written.layer("zones");
    REQUIRE(zones.features.size() == 4);
    // 7.2 to 9.1: the bend at 8, then 1.1 m along the 3-4-5 slant
    const std::vector<Point> expected{{0, 7.2}, {0, 8}, {1.1 * 3 / 5, 8 + 1.1 * 4 / 5}};
    const auto& line = line_in(zones.features[1]);
    REQUIRE(line.size() == expected.size());
    for (std::size_t i = 0; i < line.size(); ++i) {
        check_place(line[i], written.plan.site.frame, expected[i]);
    }
    CHECK(value(zones.features[1], "facilities") == "water");
    CHECK(value(zones.features[1], "trees") == "T1");
    CHECK(number(zones.features[1], "volume_m3") == 0.34);
}

TEST_CASE("the area of a zone is the trench's width between its stations", "[export]")
{
    const Written written;
    const auto areas = written.layer("zone_areas");
    REQUIRE(areas.features.size() == 4);
    const auto& ring = std::get<std::vector<ShapeArea>>(areas.features[0].shape).at(0).outer;
    REQUIRE(ring.size() == 4); // 2.3 to 3.7 due north, 0.3 m wide
    const Frame& frame = written.plan.site.frame;
    for (const auto& corner : ring) {
        const Point p = to_site(frame, corner.x, corner.y);
        CHECK(std::abs(p.x_m) == Approx(0.15).margin(1e-6));
        CHECK(std::abs(p.y_m - 3) == Approx(0.7).margin(1e-6));
    }
    CHECK(value(areas.features[1], "trees") == "T1");
    const auto own = written.layer("mark_areas");
    REQUIRE(own.features.size() >= 4); // gas and water of two trenches
    CHECK(value(own.features[0], "marks") == "G1");
}

TEST_CASE("potholes are the crossings to expose, in order of digging, with their ties", "[export]")
{
    const Written written;
    const auto holes = written.layer("potholes");
    REQUIRE(holes.features.size() == 2); // the gas of both trenches; the water's depth is on record
    CHECK(number(holes.features[0], "dig_order") == 1);
    CHECK(value(holes.features[0], "source") == "downspout east"); // the trunk, before what joins it
    CHECK(value(holes.features[1], "source") == "sump");
    CHECK(value(holes.features[0], "why") == "depth unknown");
    CHECK(number(holes.features[0], "conflict_from_m") == Approx(0.25));
    CHECK_THAT(value(holes.features[0], "ties"), Catch::Contains("A 38'-4"));
    check_place(point_in(holes.features[0]), written.plan.site.frame, {0, 3});
}

TEST_CASE("a zone without length keeps its row", "[export]")
{
    const TestFolder folder;
    auto plan = sample_plan();
    first_trench(plan).measured.zones[0].span = {8, 8};
    write_plan_gpkg(plan, folder / "plan.gpkg");
    const auto zones = layer_of(folder / "plan.gpkg", "zones");
    REQUIRE(zones.features.size() == 4);
    CHECK(number(zones.features[0], "from_m") == 8);
    check_place(line_in(zones.features[0]).front(), plan.site.frame, {0, 8});
}

TEST_CASE("findings and refusals that have a place are on the map, the others are not", "[export]")
{
    const Written written;
    const auto findings = written.layer("findings");
    REQUIRE(findings.features.size() == 4); // one of the job, one of each trench, one refusal
    check_place(point_in(findings.features[0]), written.plan.site.frame, {1, 2});
    CHECK(value(findings.features[0], "text") == "Odd.");
    CHECK(!findings.features[0].values.contains("outlet"));
    check_place(point_in(findings.features[1]), written.plan.site.frame, {1.5, 10});
    CHECK(value(findings.features[1], "severity") == "warning");
    check_place(point_in(findings.features[3]), written.plan.site.frame, {4, 5});
    CHECK(value(findings.features[3], "severity") == "refused");
    CHECK(value(findings.features[3], "outlet") == "inlet");
    CHECK(value(findings.features[3], "rule") == "falls_short");
}

TEST_CASE("the GeoPackage carries the cautions, and what no marks were supplied for", "[export]")
{
    const Written written;
    LayerSource source;
    source.file = written.file;
    source.layer = "cautions";
    // The reader wants columns that place a table; any number will do.
    source.x_column = "number";
    source.y_column = "number";
    const auto table = read_layer(source);
    const auto missing = not_supplied_lines(written.plan);
    REQUIRE(missing.size() == 2); // kinds of marks, private lines
    REQUIRE(table.features.size() == cautions().size() + missing.size());
    for (std::size_t i = 0; i < cautions().size(); ++i) {
        CHECK(value(table.features[i], "text") == cautions()[i]);
    }
    for (std::size_t i = 0; i < missing.size(); ++i) {
        CHECK(value(table.features[cautions().size() + i], "text") == missing[i]);
    }
    CHECK(missing[0].starts_with("No marks supplied for: electric, storm sewer."));
}

TEST_CASE("without any mark lengths by hand are NULL in the GeoPackage, and an empty layer says why it is empty",
          "[export]")
{
    auto plan = sample_plan();
    plan.site.marks.clear();
    for (auto& one : plan.outcomes[0].by_source) {
        auto& trench = std::get<TrenchPlan>(one);
        trench.measured.zones.clear();
        trench.measured.crossings.clear();
        trench.measured.records.clear();
        trench.measured.along.clear();
        trench.measured.depths.at(1).by_hand = false;
    }
    const TestFolder folder;
    write_plan_gpkg(plan, folder / "plan.gpkg");
    const auto route = layer_of(folder / "plan.gpkg", "route");
    REQUIRE(!route.features.empty());
    CHECK(!route.features[0].values.contains("hand_length_m"));
    CHECK(!layer_of(folder / "plan.gpkg", "stations").features[1].values.contains("by_hand"));
    for (const auto& layer : plan_layers(plan)) {
        if (layer.name == "zones" || layer.name == "crossings") {
            CHECK(layer.features.empty());
            CHECK_THAT(layer.description, Catch::Matchers::Contains("unknown, no marks supplied"));
        }
    }
}

TEST_CASE("trenches to an outlet that does not work stay off the map", "[export]")
{
    const TestFolder folder;
    auto plan = sample_plan();
    plan.outcomes[0].works = false;
    write_plan_gpkg(plan, folder / "plan.gpkg");
    for (const auto* const name : {"route", "stations", "zones", "crossings"}) {
        const auto layer = layer_of(folder / "plan.gpkg", name);
        CHECK(layer.features.empty());
        CHECK(layer.fields.size() > 5);
    }
}

TEST_CASE("the same plan gives the same GeoPackage a second later", "[export]")
{
    const auto first = plan_gpkg_bytes(sample_plan());
    std::this_thread::sleep_for(std::chrono::milliseconds(1100));
    CHECK((first == plan_gpkg_bytes(sample_plan())));
    CHECK(first.substr(0, 15) == "SQLite format 3"); // sqlite.org/fileformat.html section 1.3
}

TEST_CASE("a figure that is not finite stops the GeoPackage", "[export]")
{
    auto plan = sample_plan();
    first_trench(plan).measured.depths[0].cover_m = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(plan_gpkg_bytes(plan), Error);
}
