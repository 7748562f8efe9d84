#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/gis/raster.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/gis/write.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace trenchwright;
using namespace fixtures;

namespace {

std::vector<OutLayer> some_layers()
{
    return {
        {.name = "route",
         .description = "the trench's center line",
         .geometry = OutGeometry::line_with_elev,
         .fields = {{"name", OutFieldType::text}, {"number", OutFieldType::integer}, {"length", OutFieldType::real}},
         .features = {{.shape = std::vector<Point3>{{1, 2, 3.048}, {4, 6, 6.096}}, .values = {"first", 1LL, 5.0}},
                      {.shape = std::vector<Point3>{{0, 0, 0}, {1, 0, 0}}, .values = {{}, {}, {}}}}},
        {.name = "zones",
         .description = "hand digging",
         .geometry = OutGeometry::polygon,
         .fields = {},
         .features = {{.shape = Polygon{.outer = {{0, 0}, {2, 0}, {2, 1}}, .holes = {}}, .values = {}}}}};
}

} // namespace

TEST_CASE("a GeoPackage comes back as it was written, in the site's own system", "[gis]")
{
    const auto dir = folder("write");
    auto frame = frame_in("EPSG:2249", {760000.4, 2960000.7});
    frame.elev_unit = LengthUnit::foot;
    write_geopackage(dir / "plan.gpkg", frame, some_layers());
    const auto route = read_layer({.file = dir / "plan.gpkg", .layer = "route"});
    CHECK(system_facts(route.wkt).name == system_facts("EPSG:2249").name);
    REQUIRE(route.features.size() == 2);
    const auto& line = std::get<std::vector<ShapeLine>>(route.features[0].shape).at(0);
    // 1 m is 3937/1200 US survey feet; the origin is a whole number of feet.
    CHECK(line.at(0).x == Approx(760000 + 1 * 3937.0 / 1200).margin(1e-8));
    CHECK(line.at(1).y == Approx(2960000 + 6 * 3937.0 / 1200).margin(1e-8));
    CHECK(line.at(1).file_z.value_or(0) == Approx(20).margin(1e-12));
    CHECK(route.features[0].values.at("name") == "first");
    CHECK(route.features[0].values.at("length") == "5");
    CHECK(route.features[1].values.empty());
    CHECK(sql_value(dir / "plan.gpkg", "PRAGMA user_version") == "10300");
    CHECK(sql_value(dir / "plan.gpkg", "SELECT description FROM gpkg_contents WHERE table_name='zones'") ==
          "hand digging");
}

TEST_CASE("the same values give the same bytes", "[gis]")
{
    const auto dir = folder("write_twice");
    for (const auto& frame : {frame_in("EPSG:2249", {760000, 2960000}), tape_frame(LengthUnit::foot),
                              frame_in("EPSG:4326", {-71.11, 42.366})}) {
        write_geopackage(dir / "a.gpkg", frame, some_layers());
        write_geopackage(dir / "b.gpkg", frame, some_layers());
        CHECK(read_bytes(dir / "a.gpkg") == read_bytes(dir / "b.gpkg"));
        std::filesystem::remove(dir / "a.gpkg");
        std::filesystem::remove(dir / "b.gpkg");
    }
}

TEST_CASE("a tape site is written in the undefined cartesian system", "[gis]")
{
    const auto dir = folder("write_tape");
    write_geopackage(dir / "tape.gpkg", tape_frame(LengthUnit::foot), some_layers());
    // OGC 12-128r17 (GeoPackage 1.3): srs_id -1 stands for undefined cartesian systems.
    CHECK(sql_value(dir / "tape.gpkg", "SELECT srs_id FROM gpkg_geometry_columns WHERE table_name='route'") == "-1");
    const auto route = read_layer({.file = dir / "tape.gpkg", .layer = "route"});
    CHECK(route.wkt.empty());
    CHECK(std::get<std::vector<ShapeLine>>(route.features[0].shape).at(0).at(0).x == Approx(1 / 0.3048));
}

TEST_CASE("what does not fit is not written", "[gis]")
{
    const auto dir = folder("write_misfit");
    const auto frame = tape_frame(LengthUnit::meter);
    auto layers = some_layers();
    layers[0].features[0].values[2] = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(write_geopackage(dir / "a.gpkg", frame, layers), Error);
    layers = some_layers();
    layers[0].features[0].shape = std::vector<Point3>{{0, 0, 0}, {std::nan(""), 0, 0}};
    CHECK_THROWS_AS(write_geopackage(dir / "b.gpkg", frame, layers), Error);
    layers = some_layers();
    layers[0].features[0].shape = Point{};
    CHECK_THROWS_AS(write_geopackage(dir / "c.gpkg", frame, layers), Error);
    layers = some_layers();
    layers[0].features[0].values[1] = "one";
    CHECK_THROWS_AS(write_geopackage(dir / "d.gpkg", frame, layers), Error);
    write_text(dir / "e.gpkg", "here already");
    CHECK_THROWS_AS(write_geopackage(dir / "e.gpkg", frame, some_layers()), Error);
    CHECK(read_bytes(dir / "e.gpkg") == "here already");
    CHECK_THROWS_AS(write_geopackage(dir / "no folder" / "f.gpkg", frame, some_layers()), Error);
}
