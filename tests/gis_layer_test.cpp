#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/gis/place.hpp"
#include "trenchwright/gis/system.hpp"

#include <catch2/catch.hpp>
#include <limits>

using namespace trenchwright;
using namespace fixtures;
namespace fs = std::filesystem;

namespace {

std::string point(double x, double y, const std::string& properties = "")
{
    return R"({"type":"Feature","properties":{)" + properties + R"(},"geometry":{"type":"Point","coordinates":[)" +
           std::to_string(x) + "," + std::to_string(y) + "]}}";
}

bool has(const std::string& text, const std::string& part)
{
    INFO(text);
    CHECK(text.find(part) != std::string::npos);
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("only plain local files with a known ending are opened", "[gis]")
{
    const auto dir = folder("plain_files");
    const auto why = [](const fs::path& file) { return error_of([&] { read_layer({.file = file}); }); };
    has(why("/vsicurl/http://example.invalid/a.geojson"), "local disk");
    has(why("http://example.invalid/a.geojson"), "local disk");
    has(why("/vsizip/" + (dir / "a.zip").string()), "local disk");
    has(why(dir), "not a regular file");
    has(why(dir / "missing.gpkg"), "no such file");
    has(why(write_text(dir / "empty.geojson", "")), "empty");
    has(why(write_text(dir / "lots.shp.zip", "PK")), "ending");
    has(why(write_text(dir / "lots.vrt", "<OGRVRTDataSource/>")), "ending");
    has(why("GPKG:" + (dir / "a.gpkg").string()), "local disk");
    has(why(R"({"type":"FeatureCollection","features":[]})"), "no such file");
}

TEST_CASE("a file is only what its ending says", "[gis]")
{
    // docs/sources.md, X8: VRT text under another name was opened by the VRT driver and read any file of the disk.
    const auto dir = folder("disguised");
    const auto secret = write_text(dir / "secret.csv", "x,y\n1,2\n");
    const auto vrt = R"(<OGRVRTDataSource><OGRVRTLayer name="secret"><SrcDataSource>)" + secret.string() +
                     "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>";
    for (const auto* name : {"a.gpkg", "a.geojson", "a.shp", "a.fgb"}) {
        const auto file = write_text(dir / name, vrt);
        has(error_of([&] { read_layer({.file = file}); }), name);
    }
    has(error_of([&] { read_layer({.file = write_text(dir / "page.geojson", "<html>no</html>")}); }), "page.geojson");
}

TEST_CASE("damaged files are refused or counted, never half read in silence", "[gis]")
{
    const auto dir = folder("damaged");
    std::vector<std::string> features;
    for (int i = 0; i < 400; ++i) {
        features.push_back(point(i, i, R"("name":"a fairly long name to fill pages")"));
    }
    const auto source = write_text(dir / "all.geojson", collection(features, "EPSG:2249"));
    vector_translate(source, dir / "all.gpkg", {"-f", "GPKG"});
    vector_translate(source, dir / "all.shp", {"-f", "ESRI Shapefile"});
    const auto bytes = read_bytes(dir / "all.gpkg");
    write_text(dir / "cut.gpkg", bytes.substr(0, bytes.size() / 2));
    has(error_of([&] { read_layer({.file = dir / "cut.gpkg"}); }), "cut.gpkg");
    const auto text = read_bytes(source);
    write_text(dir / "cut.geojson", text.substr(0, text.size() / 2));
    has(error_of([&] { read_layer({.file = dir / "cut.geojson"}); }), "cut.geojson");
    // A shapefile cut short keeps its count of features: the lost ones come without geometry or as failures.
    write_text(dir / "all.shp", read_bytes(dir / "all.shp").substr(0, 2000));
    std::size_t lost = 0;
    try {
        for (const auto& feature : read_layer({.file = dir / "all.shp"}).features) {
            lost += std::holds_alternative<std::monostate>(feature.shape) ? 1 : 0;
        }
    } catch (const Error&) {
        lost = 1;
    }
    CHECK(lost > 0);
    fs::remove(dir / "all.shx");
    has(error_of([&] { read_layer({.file = dir / "all.shp"}); }), "all.shp: cannot be read: all.shx is missing");
    CHECK_FALSE(fs::exists(dir / "all.shx"));
}

TEST_CASE("coordinates that are no numbers are refused", "[gis]")
{
    const auto dir = folder("not_numbers");
    // docs/sources.md, X9: GDAL reads a NaN point of GeoJSON as an empty one.
    write_text(dir / "nan.geojson",
               collection({R"({"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[NaN,1]}})"}));
    bool seen = false;
    try {
        seen = std::holds_alternative<std::monostate>(read_layer({.file = dir / "nan.geojson"}).features.at(0).shape);
    } catch (const Error&) {
        seen = true;
    }
    CHECK(seen);
    write_text(dir / "comma.csv", "x;y;elev\n1,5;2;3\n");
    const auto comma = error_of([&] { read_layer({.file = dir / "comma.csv"}); });
    has(comma, "x \"1,5\" is not a number");
    has(comma, "comma.csv, layer comma, feature 1");
    write_text(dir / "nan.csv", "x,y\nnan,2\n");
    has(error_of([&] { read_layer({.file = dir / "nan.csv"}); }), "\"nan\"");
    write_text(dir / "ragged.csv", "x,y\n1,2\n3\n");
    has(error_of([&] { read_layer({.file = dir / "ragged.csv"}); }), "feature 2: y is empty");
    write_text(dir / "columns.csv", "east,north\n1,2\n");
    has(error_of([&] { read_layer({.file = dir / "columns.csv"}); }), "east, north");
    const auto read = read_layer({.file = dir / "columns.csv", .x_column = "east", .y_column = "north"});
    CHECK(std::get<std::vector<ShapePoint>>(read.features.at(0).shape).at(0).y == 2);
}

TEST_CASE("numbers are read whole or not at all", "[gis]")
{
    CHECK(parse_number(" 12.50 ").value == 12.5);
    CHECK(parse_number("+3e2").value == 300);
    for (const auto* text : {"", " ", "1,5", "12 ft", "nan", "inf", "1e999", "0x10", "--1", "+-1", "1.2.3"}) {
        INFO(text);
        CHECK_FALSE(parse_number(text).ok);
    }
}

TEST_CASE("systems are read as the file states them", "[gis]")
{
    const auto dir = folder("systems");
    write_text(dir / "feet.geojson", collection({point(760000, 2960000)}, "EPSG:2249"));
    CHECK(system_facts(read_layer({.file = dir / "feet.geojson"}).wkt).native_unit == LengthUnit::us_survey_foot);
    // docs/sources.md, X9: an unknown code silently gave WGS 84.
    write_text(dir / "unknown.geojson", collection({point(1, 2)}, "EPSG:987654"));
    has(error_of([&] { read_layer({.file = dir / "unknown.geojson"}); }), "unknown.geojson");
    // docs/sources.md, X9: no crs member means WGS 84, even for state-plane feet.
    write_text(dir / "claims.geojson", collection({point(6500000, 1800000)}));
    const auto claims = read_layer({.file = dir / "claims.geojson"});
    const auto text = error_of([&] { require_degrees(claims); });
    has(text, "(6500000, 1800000) is no longitude and latitude");
    has(text, "claims.geojson, layer claims, feature 0");
    // The same by a wrong .prj.
    vector_translate(dir / "feet.geojson", dir / "wrong.shp", {"-f", "ESRI Shapefile", "-a_srs", "EPSG:4326"});
    has(error_of([&] { require_degrees(read_layer({.file = dir / "wrong.shp"})); }), "wrong.shp");
    const auto right = read_layer({.file = dir / "wrong.shp", .crs = "EPSG:2249"});
    CHECK_NOTHROW(require_degrees(right));
    // No .prj: no system, and no guess.
    fs::remove(dir / "wrong.prj");
    const auto none = read_layer({.file = dir / "wrong.shp"});
    CHECK(none.wkt.empty());
    const auto frame = frame_in("EPSG:2249", {760000, 2960000});
    has(error_of([&] { in_frame(none, frame, {.wkt = frame.wkt, .from = "the survey"}); }),
        "states no coordinate system");
}

TEST_CASE("a coordinate system that would have to be fetched is refused before the file is opened", "[gis]")
{
    const auto dir = folder("fetched_crs");
    const auto with = [&](const std::string& crs) {
        auto text = collection({point(1, 2, R"("crs":"none","type":"link")")});
        text.insert(text.find('{') + 1, crs + ",");
        return write_text(dir / "crs.geojson", text);
    };
    const std::string address = R"("href":"http://127.0.0.1:1/crs")";
    for (const auto* type : {"link", "url", "LINK", "l\\u0069nk", "URL of somebody"}) {
        INFO(type);
        const auto file = with(R"("crs":{"properties":{)" + address + R"(},"type":")" + type + R"("})");
        const auto text = error_of([&] { read_layer({.file = file}); });
        has(text, "crs.geojson: its member crs is of type");
        has(error_of([&] { read_layer({.file = file, .crs = "EPSG:2249"}); }), "nothing is fetched");
    }
    // The second of two, or one geometry's own.
    const std::string link = R"({"type":"link","properties":{)" + address + "}}";
    has(error_of([&] { read_layer({.file = with(R"("crs":{"type":"name"},"CRS":)" + link)}); }), "nothing is fetched");
    write_text(dir / "inner.geojson",
               collection({R"({"type":"Feature","properties":{},"geometry":{"type":"Point","crs":)" + link +
                           R"(,"coordinates":[1,2]}})"}));
    has(error_of([&] { read_layer({.file = dir / "inner.geojson"}); }), "inner.geojson: its member crs");
    // An attribute of that name is none, nor is a named system.
    CHECK(read_layer({.file = with(R"("crs":{"type":"name","properties":{"name":"EPSG:2249"}})")}).features.size() ==
          1);
}

TEST_CASE("kinds of geometry, values and layers come through", "[gis]")
{
    const auto dir = folder("kinds");
    const std::string mixed =
        R"({"type":"Feature","id":7,"properties":{"a":"  ","b":null,"n":0.1,"yes":true,"day":"2026/05/31"},)"
        R"("geometry":{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},)"
        R"({"type":"LineString","coordinates":[[1,2],[3,4]]}]}})";
    write_text(dir / "mixed.geojson", collection({mixed}));
    has(error_of([&] { read_layer({.file = dir / "mixed.geojson"}); }), "feature 7: mixes");
    const std::string null_shape =
        R"({"type":"Feature","id":7,"properties":{"a":"  ","b":null,"n":0.1,"yes":true,"day":"2026/05/31"},"geometry":null})";
    write_text(dir / "values.geojson", collection({null_shape}));
    const auto layer = read_layer({.file = dir / "values.geojson"});
    const std::map<std::string, std::string> expected{{"n", "0.1"}, {"yes", "true"}, {"day", "2026-05-31"}};
    CHECK(layer.features.at(0).values == expected);
    CHECK(std::holds_alternative<std::monostate>(layer.features.at(0).shape));

    vector_translate(dir / "values.geojson", dir / "two.gpkg", {"-f", "GPKG", "-nln", "one"});
    vector_translate(dir / "values.geojson", dir / "two.gpkg", {"-update", "-nln", "other"});
    has(error_of([&] { read_layer({.file = dir / "two.gpkg"}); }), "name one: one, other");
    has(error_of([&] { read_layer({.file = dir / "two.gpkg", .layer = "third"}); }), "no layer \"third\"");
    CHECK(read_layer({.file = dir / "two.gpkg", .layer = "other"}).features.size() == 1);
}

TEST_CASE("arcs become chords that stay close to the arc", "[gis]")
{
    const auto dir = folder("arcs");
    // A half circle of radius 10 about (110, 100).
    write_text(dir / "arc.csv", "WKT,n\n\"CIRCULARSTRING (100 100,110 110,120 100)\",1\n");
    vector_translate(dir / "arc.csv", dir / "arc.gpkg",
                     {"-f", "GPKG", "-a_srs", "EPSG:26986", "-nlt", "CIRCULARSTRING"});
    const auto layer = read_layer({.file = dir / "arc.gpkg"});
    CHECK(layer.features.at(0).curved);
    const auto& line = std::get<std::vector<ShapeLine>>(layer.features[0].shape).at(0);
    double length = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        length += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
        // Sagitta of one degree at 10 m: 10 (1 - cos 0.5 deg) = 0.4 mm.
        const double mid = std::hypot((line[i].x + line[i - 1].x) / 2 - 110, (line[i].y + line[i - 1].y) / 2 - 100);
        CHECK(mid > 10 - 0.0005);
    }
    CHECK(length == Approx(10 * std::acos(-1.0)).epsilon(2e-5));
}

TEST_CASE("limits are refused, never cut", "[gis]")
{
    const auto dir = folder("limits");
    write_text(dir / "some.geojson", collection({point(1, 2), point(3, 4), point(5, 6)}));
    const LayerSource source{.file = dir / "some.geojson"};
    has(error_of([&] { read_layer(source, {.features = 2}); }), "more than 2 features");
    has(error_of([&] { read_layer(source, {.vertices = 2}); }), "more than 2 vertices");
    has(error_of([&] { read_layer(source, {.file_bytes = 10}); }), "the limit is 10");
    CHECK(read_layer(source, {.features = 3, .vertices = 3}).features.size() == 3);
}

TEST_CASE("reading leaves the input folder as it was", "[gis]")
{
    const auto dir = folder("untouched");
    write_text(dir / "a.geojson", collection({point(760000, 2960000)}, "EPSG:2249"));
    vector_translate(dir / "a.geojson", dir / "a.gpkg", {"-f", "GPKG"});
    vector_translate(dir / "a.geojson", dir / "a.shp", {"-f", "ESRI Shapefile"});
    const auto before = snapshot(dir);
    for (const auto* name : {"a.geojson", "a.gpkg", "a.shp"}) {
        CHECK(read_layer({.file = dir / name}).features.size() == 1);
    }
    CHECK(snapshot(dir) == before);
}
