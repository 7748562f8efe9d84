#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/layers.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <geodesic.h>
#include <map>
#include <tuple>

using namespace trenchwright;
using namespace fixtures;
namespace fs = std::filesystem;

namespace {

/// An invented lot of 100 x 150 ft; offsets in feet from a corner, x along the street.
struct Drawn {
    std::string part;
    std::string type;
    std::string properties;
    std::vector<Point> points; ///< here in feet
    double z = 0;
};

std::vector<Drawn> lot()
{
    return {
        {"parcel", "Polygon", R"("id":"L1")", {{0, 0}, {100, 0}, {100, 150}, {0, 150}}, 0},
        {"foundation", "Polygon", R"("id":"H")", {{30, 60}, {70, 60}, {70, 90}, {30, 90}}, 0},
        {"utilities",
         "LineString",
         R"("id":"G1","facility":"gas","width":0.1,"quality":"B","accuracy":0.5,"date":"2026-04-02","may_cross":"no")",
         {{10, 0}, {12, 40}, {30, 62}},
         0},
        {"ground_cover", "Polygon", R"("kind":"driveway")", {{80, 0}, {92, 0}, {92, 60}, {80, 60}}, 0},
        {"trees", "Point", R"("id":"T1","trunk":1.5)", {{20, 30}}, 0},
        {"spots", "Point", R"("id":"P1","elev":101.5)", {{5, 5}}, 0},
        {"spots", "Point", R"("id":"P2","elev":103.25)", {{95, 140}}, 0},
        {"sources", "Point", R"("id":"D1","kind":"downspout","roof_area":600,"highest_invert":100)", {{30, 60}}, 0},
        {"outlets",
         "LineString",
         R"("id":"K","kind":"curb","roof":"ask","sump":"no","gutter":98.5,"curb_top":99,"fee":"125.50","setback_lot_line":5)",
         {{0, -12}, {100, -12}},
         0}};
}

std::string feature(const Drawn& drawn, const std::vector<Point>& at)
{
    std::string pairs;
    const auto add = [&](const Point& p) {
        pairs += fmt::format("{}[{:.13g},{:.13g}]", pairs.empty() ? "" : ",", p.x_m, p.y_m);
    };
    std::for_each(at.begin(), at.end(), add);
    if (drawn.type == "Polygon") {
        add(at.front());
        pairs = "[[" + pairs + "]]";
    } else if (drawn.type == "LineString") {
        pairs = "[" + pairs + "]";
    }
    return R"({"type":"Feature","properties":{)" + drawn.properties + R"(},"geometry":{"type":")" + drawn.type +
           R"(","coordinates":)" + pairs + "}}";
}

/// The place of an offset on the earth, by geodesic from the corner: no projection of ours takes part.
Point on_earth(const Point& feet)
{
    geod_geodesic wgs84;
    geod_init(&wgs84, 6378137, 1 / 298.257223563);
    double lat = 0;
    double lon = 0;
    geod_direct(&wgs84, 33.9, -118.2, std::atan2(feet.x_m, feet.y_m) * 180 / std::acos(-1.0),
                std::hypot(feet.x_m, feet.y_m) * 0.3048, &lat, &lon, nullptr);
    return {lon, lat};
}

/// One GeoJSON file per part.
SiteLayers write_lot(const fs::path& dir, bool tape)
{
    std::map<std::string, std::vector<std::string>> features;
    for (const auto& drawn : lot()) {
        auto at = drawn.points;
        if (!tape) {
            std::transform(at.begin(), at.end(), at.begin(), on_earth);
        }
        features[drawn.part].push_back(feature(drawn, at));
    }
    SiteLayers layers;
    layers.elev_unit = LengthUnit::foot;
    layers.size_unit = LengthUnit::foot;
    layers.frame.kind = tape ? FrameChoice::Kind::tape : FrameChoice::Kind::from_layers;
    for (const auto& [part, list] : features) {
        LayerUse use;
        use.file = write_text(dir / (part + ".geojson"), collection(list));
        use.crs = tape ? "tape" : "";
        layers.parts[part].push_back(use);
    }
    return layers;
}

SiteLayers converted(SiteLayers layers, const std::string& driver, const std::string& ending, const std::string& system)
{
    for (auto& [part, uses] : layers.parts) {
        const auto from = uses[0].file;
        auto to = from;
        to.replace_extension(ending);
        // NAD83 and WGS 84 are one here (EPSG 1188 is a null shift), as in most city data.
        // FlatGeobuf's index would reorder the features.
        std::vector<std::string> options{"-f", driver, "-t_srs", system};
        if (driver == "FlatGeobuf") {
            options.insert(options.end(), {"-lco", "SPATIAL_INDEX=NO"});
        }
        vector_translate(from, to, options);
        uses[0].file = to;
        // Shapefile names are cut to ten characters.
        if (driver == "ESRI Shapefile" && part == "sources") {
            uses[0].fields["highest_invert"] = "highest_in";
        }
        if (driver == "ESRI Shapefile" && part == "outlets") {
            uses[0].fields["setback_lot_line"] = "setback_lo";
        }
    }
    return layers;
}

std::vector<Point> all_points(const Site& site)
{
    std::vector<Point> points = site.parcel.at(0).outer;
    const auto add = [&](const std::vector<Point>& more) { points.insert(points.end(), more.begin(), more.end()); };
    add(site.foundations.at(0).outer);
    add(site.marks.at(0).line);
    add(site.surfaces.at(0).area.outer);
    points.push_back(site.trees.at(0).at);
    points.push_back(site.spots.at(0).at);
    points.push_back(site.spots.at(1).at);
    points.push_back(site.sources.at(0).at);
    add(std::get<Polyline>(site.outlets.at(0).place));
    return points;
}

/// All distances between two places are the tape's, on the ground, within 1 mm (docs/sources.md, X4: projection against
/// geodesic 0.1 mm; the geodesic offsets against the plane: under 0.01 mm over 60 m).
void check_same_site(const Site& site, const Site& tape)
{
    // A shapefile may turn its rings; compare as sets by the nearest tape distance from two fixed places.
    const auto points = all_points(site);
    const auto expected = all_points(tape);
    REQUIRE(points.size() == expected.size());
    const auto key = [](const Site& of, const Point& p) {
        const double ratio = of.frame.grid_to_ground_ratio;
        return std::array<double, 3>{distance_m(p, of.spots[0].at) * ratio, distance_m(p, of.spots[1].at) * ratio,
                                     distance_m(p, of.trees[0].at) * ratio};
    };
    for (const auto& p : expected) {
        const auto wanted = key(tape, p);
        double best = 1e9;
        for (const auto& q : points) {
            const auto got = key(site, q);
            best = std::min(best, std::max({std::abs(got[0] - wanted[0]), std::abs(got[1] - wanted[1]),
                                            std::abs(got[2] - wanted[2])}));
        }
        CHECK(best < 0.001);
    }
}

} // namespace

TEST_CASE("one lot in five systems and four formats is one site", "[site]")
{
    const auto dir = folder("same_site");
    fs::create_directories(dir / "tape");
    const auto tape = read_site(write_lot(dir / "tape", true));
    // The tape site itself: plain arithmetic on the drawing.
    CHECK(tape.parcel.at(0).outer.at(1).x_m == Approx(100 * 0.3048));
    CHECK(tape.marks.at(0).line.at(2).y_m == Approx(62 * 0.3048));
    CHECK(tape.frame.wkt.empty());

    fs::create_directories(dir / "earth");
    const auto earth = write_lot(dir / "earth", false);
    const auto before = snapshot(dir / "earth");
    const auto degrees = read_site(earth);
    CHECK(snapshot(dir / "earth") == before);
    check_same_site(degrees, tape);
    for (const auto& [driver, ending, system] :
         std::vector<std::tuple<std::string, std::string, std::string>>{{"GPKG", ".gpkg", "EPSG:2229"},
                                                                        {"ESRI Shapefile", ".shp", "EPSG:2229"},
                                                                        {"GPKG", ".gpkg", "EPSG:26911"},
                                                                        {"FlatGeobuf", ".fgb", "EPSG:4326"}}) {
        INFO(driver << " " << system);
        for (const auto& entry : fs::directory_iterator(dir / "earth")) {
            if (entry.path().extension() != ".geojson") {
                fs::remove(entry.path());
            }
        }
        const auto site = read_site(converted(earth, driver, ending, system));
        check_same_site(site, tape);
        CHECK(site.outlets.at(0).fee_cents == 12550);
        CHECK(site.outlets[0].setback_lot_line_m.value_or(0) == Approx(5 * 0.3048));
        CHECK(site.sources.at(0).highest_invert_elev_m.value_or(0) == Approx(100 * 0.3048));
    }
}

TEST_CASE("attributes arrive in our words and in SI", "[site]")
{
    const auto dir = folder("attributes");
    auto layers = write_lot(dir, true);
    const auto site = read_site(layers);
    const auto& mark = site.marks.at(0);
    CHECK(mark.id == "G1");
    CHECK(mark.facility == Facility::gas);
    CHECK(mark.width_m.value_or(0) == Approx(0.03048));
    CHECK_FALSE(mark.exposed_depth_m);
    CHECK(mark.quality == QualityLevel::b);
    CHECK(mark.position_accuracy_m.value() == Approx(0.1524));
    CHECK(mark.date_marked == "2026-04-02");
    CHECK_FALSE(mark.may_cross);
    CHECK(mark.origin == Origin{.file = "utilities.geojson", .layer = "utilities", .feature_id = 0});
    CHECK(site.trees.at(0).trunk_diameter_m == Approx(0.4572));
    CHECK(site.spots.at(1).elev_m == Approx(103.25 * 0.3048));
    const auto& source = site.sources.at(0);
    CHECK(source.water == Water::roof);
    CHECK(source.roof_area_m2 == Approx(600 * 0.3048 * 0.3048));
    const auto& outlet = site.outlets.at(0);
    CHECK(permission_for(outlet, Water::roof) == Permission::ask);
    CHECK(permission_for(outlet, Water::sump) == Permission::no);
    CHECK(permission_for(outlet, Water::footing) == Permission::unstated);
    CHECK_FALSE(outlet.lowest_invert_elev_m);
    CHECK(outlet.fee_cents == 12550);

    // Words, constants and fields of the user's.
    write_text(
        dir / "utilities.geojson",
        collection({R"({"type":"Feature","properties":{"T":"COMM","W":null},"geometry":{"type":"MultiLineString",)"
                    R"("coordinates":[[[0,0],[9,9]],[[9,9],[9,20]]]}})"}));
    auto& use = layers.parts["utilities"][0];
    use.fields = {{"facility", "T"}, {"width", "W"}};
    use.words = {{"COMM", "communication"}};
    use.constants = {{"accuracy", "1.5"}};
    const auto renamed = read_site(layers);
    REQUIRE(renamed.marks.size() == 2);
    CHECK(renamed.marks[0].id == "mark 1-1");
    CHECK(renamed.marks[1].id == "mark 1-2");
    CHECK(renamed.marks[0].facility == Facility::communication);
    CHECK_FALSE(renamed.marks[0].width_m);
    CHECK_FALSE(renamed.marks[0].quality); // nobody stated it: neither D nor any other
    CHECK(renamed.marks[1].position_accuracy_m.value() == Approx(0.4572));
}

TEST_CASE("spots come from tables, rod readings or their own z", "[site]")
{
    const auto dir = folder("spots");
    auto layers = write_lot(dir, true);
    auto& use = layers.parts["spots"][0];
    // docs/sources.md, Z11: instrument height 360.48 + 4.22 = 364.70; here rod readings under it.
    layers.instrument_height_m = 364.70 * 0.3048;
    use.file = write_text(dir / "rods.csv", "no,e,n,rod\n1,5,6,4.22\n2,7,8,6.70\n");
    use.fields = {{"id", "no"}, {"x", "e"}, {"y", "n"}};
    const auto rods = read_site(layers);
    CHECK(rods.spots.at(0).elev_m == Approx(360.48 * 0.3048));
    CHECK(rods.spots.at(1).elev_m == Approx(358.0 * 0.3048));
    CHECK(rods.spots.at(1).at.y_m == Approx(8 * 0.3048));
    use.fields = {};
    use.file = write_text(dir / "wkt.csv", "WKT,elev\n\"POINT (5 6)\",12.5\n\"POINT Z (7 8 13.5)\",\n");
    const auto wkt = read_site(layers);
    CHECK(wkt.spots.at(0).elev_m == Approx(12.5 * 0.3048));
    CHECK(wkt.spots.at(1).elev_m == Approx(13.5 * 0.3048));
    // The declared sentinel is left out, an undeclared one is kept and doubted.
    use.file = write_text(dir / "city.csv", "x,y,elev\n1,2,999.0\n3,4,101\n");
    const auto uncertaintyed = read_site(layers);
    CHECK(uncertaintyed.spots.size() == 2);
    CHECK(std::any_of(uncertaintyed.findings.begin(), uncertaintyed.findings.end(), [](const Finding& finding) {
        return finding.rule == "site.nodata" && finding.text.find("999") != std::string::npos;
    }));
    use.nodata = 999;
    CHECK(read_site(layers).spots.size() == 1);
}

TEST_CASE("a vertical unit other than the job's is said", "[site]")
{
    const auto dir = folder("vertical_unit");
    SiteLayers layers;
    layers.elev_unit = LengthUnit::meter;
    LayerUse use;
    use.crs = "EPSG:2229+6360"; // NAVD88 in US survey feet
    use.file = write_text(dir / "spots.csv", "x,y,elev\n6500000,1850000,31.5\n");
    layers.parts["spots"] = {use};
    const auto rule = [](const Finding& finding) { return finding.rule == "site.elev_unit"; };
    const auto uncertaintyed = read_site(layers);
    CHECK(std::any_of(uncertaintyed.findings.begin(), uncertaintyed.findings.end(), rule));
    CHECK(uncertaintyed.spots.at(0).elev_m == 31.5);
    layers.elev_unit = LengthUnit::us_survey_foot;
    const auto agreed = read_site(layers);
    CHECK(std::none_of(agreed.findings.begin(), agreed.findings.end(), rule));
}

TEST_CASE("layers of one datum but another system come to the frame, those of another datum with a doubt", "[site]")
{
    const auto dir = folder("mixed_systems");
    // docs/sources.md, M4: 28 30 N, 96 W is 2963503.91, 254759.80 ftUS in EPSG:32040 (NAD27).
    SiteLayers layers;
    LayerUse grid;
    grid.file = write_text(dir / "grid.geojson",
                           collection({R"({"type":"Feature","properties":{"trunk":1},"geometry":{"type":"Point",)"
                                       R"("coordinates":[2963503.91,254759.80]}})"},
                                      "EPSG:32040"));
    LayerUse degrees;
    degrees.crs = "EPSG:4267";
    degrees.file = write_text(dir / "degrees.csv", "x,y,elev\n-96,28.5,3\n");
    layers.frame = {.kind = FrameChoice::Kind::named, .crs = "EPSG:32040", .tape_unit = LengthUnit::foot};
    layers.parts["trees"] = {grid};
    layers.parts["spots"] = {degrees};
    const auto site = read_site(layers);
    CHECK(distance_m(site.trees.at(0).at, site.spots.at(0).at) < 0.01 * 0.3048);
    const auto shifted = [](const Finding& finding) { return finding.rule == "site.datum"; };
    CHECK(std::none_of(site.findings.begin(), site.findings.end(), shifted));
    layers.parts["spots"][0].crs = "EPSG:4326";
    const auto uncertaintyed = read_site(layers);
    CHECK(std::any_of(uncertaintyed.findings.begin(), uncertaintyed.findings.end(), shifted));
}

TEST_CASE("our lot is the named one or the one under the house", "[site]")
{
    const auto dir = folder("own_lot");
    auto layers = write_lot(dir, true);
    const auto square = [](const std::string& id, double x) {
        return feature({"", "Polygon", R"("id":")" + id + "\"", {}, 0},
                       {{x, 0}, {x + 100, 0}, {x + 100, 150}, {x, 150}});
    };
    write_text(dir / "parcel.geojson",
               collection({square("W", -100), square("L1", 0), square("E", 100), square("L1b", 0)}));
    const auto site = read_site(layers);
    REQUIRE(site.parcel.size() == 1);
    CHECK(contains(site.parcel[0], {15, 20}));
    // The condominium copy of ours is no neighbor, and that is said.
    CHECK(site.neighbors.size() == 2);
    CHECK(std::any_of(site.findings.begin(), site.findings.end(), [](const Finding& finding) {
        return finding.rule == "site.parcel" && finding.text.find("feature 3") != std::string::npos;
    }));
    layers.parcel_ids = {"E"};
    const auto other_house =
        feature({"", "Polygon", R"("id":"HE")", {}, 0}, {{130, 60}, {170, 60}, {170, 90}, {130, 90}});
    write_text(dir / "foundation.geojson", collection({other_house}));
    CHECK(contains(read_site(layers).parcel.at(0), {45, 20}));
    layers.parcel_ids = {"N"};
    CHECK(error_of([&] { read_site(layers); }).find("no lot has the id \"N\"") != std::string::npos);
}

TEST_CASE("a block's houses: those on our lot are ours, a neighbor's at the lot line is not", "[site]")
{
    const auto dir = folder("block_houses");
    const auto layers = write_lot(dir, true);
    const auto house = [](const std::string& id, double x, double y) {
        return feature({"", "Polygon", R"("id":")" + id + "\"", {}, 0},
                       {{x, y}, {x + 40, y}, {x + 40, y + 30}, {x, y + 30}});
    };
    // At 100 its wall is our lot line.
    write_text(dir / "foundation.geojson", collection({house("N", 100, 60), house("H", 30, 60), house("F", 300, 60)}));
    const auto site = read_site(layers);
    REQUIRE(site.foundations.size() == 1);
    CHECK(contains(site.foundations[0], {15, 20}));
    CHECK(site.neighbor_buildings.size() == 2);
}

namespace {

Drawn area(const std::string& id, std::vector<Point> points)
{
    return {"", "Polygon", R"("id":")" + id + "\"", std::move(points), 0};
}

std::string bowtie_at(double x, double y)
{
    const auto drawn = area("", {{x, y}, {x + 10, y + 10}, {x + 10, y}, {x, y + 10}});
    return feature(drawn, drawn.points);
}

std::string rectangle(const std::string& id, const Point& low, const Point& high)
{
    const auto drawn = area(id, {low, {high.x_m, low.y_m}, high, {low.x_m, high.y_m}});
    return feature(drawn, drawn.points);
}

std::vector<std::string> texts_of_rule(const Site& site, const std::string& rule)
{
    std::vector<std::string> texts;
    for (const auto& finding : site.findings) {
        if (finding.rule == rule) {
            texts.push_back(finding.text);
        }
    }
    return texts;
}

} // namespace

TEST_CASE("with no building on the lot the nearest is named and none becomes ours", "[site]")
{
    const auto dir = folder("no_house");
    auto layers = write_lot(dir, true);
    layers.print_units = UnitSystem::us;
    // The lot ends at 100 ft: 25 ft to N, 200 ft to F.
    write_text(dir / "foundation.geojson",
               collection({rectangle("F", {300, 60}, {340, 90}), rectangle("N", {125, 60}, {165, 90})}));
    CHECK_THAT(error_of([&] { read_site(layers); }),
               Catch::Contains("foundation.geojson, layer foundation: none of its 2 buildings stands on our lot") &&
                   Catch::Contains("the nearest is \"N\" (foundation.geojson, layer foundation, feature 1), 25.0 ft "
                                   "away"));
    // A neighbor's eaves over the line, 1 ft by 30 ft (2.8 m2), make it no house of ours either.
    write_text(dir / "foundation.geojson", collection({rectangle("N", {99, 60}, {139, 90})}));
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("which only meets the lot line"));
    // Half of a double house is ours: 20 ft of its 40 stand on our lot.
    write_text(dir / "foundation.geojson",
               collection({rectangle("F", {300, 60}, {340, 90}), rectangle("D", {80, 60}, {120, 90})}));
    const auto site = read_site(layers);
    REQUIRE(site.foundations.size() == 1);
    CHECK(site.neighbor_buildings.size() == 1);
    REQUIRE(texts_of_rule(site, "site.foundation").size() == 1);
    CHECK_THAT(texts_of_rule(site, "site.foundation")[0],
               Catch::Contains("\"D\"") && Catch::Contains("reaches 20.0 ft past our lot line"));
}

TEST_CASE("a house corner typed far off the lot is named", "[site]")
{
    const auto dir = folder("long_house");
    auto layers = write_lot(dir, true);
    layers.print_units = UnitSystem::us;
    CHECK(texts_of_rule(read_site(layers), "site.foundation").empty());
    // The lot ends at 150 ft: the corner at 500 lies 350 ft past it.
    const auto drawn = area("H", {{30, 60}, {70, 60}, {70, 500}, {30, 90}});
    write_text(dir / "foundation.geojson", collection({feature(drawn, drawn.points)}));
    const auto site = read_site(layers);
    REQUIRE(texts_of_rule(site, "site.foundation").size() == 1);
    CHECK_THAT(texts_of_rule(site, "site.foundation")[0],
               Catch::Contains("feature 0") && Catch::Contains("350.0 ft past our lot line"));
    layers.reading.past_lot_line_m = 351 * 0.3048;
    CHECK(texts_of_rule(read_site(layers), "site.foundation").empty());
}

TEST_CASE("lots that cut ours are named with the area", "[site]")
{
    const auto dir = folder("cut_lot");
    auto layers = write_lot(dir, true);
    layers.print_units = UnitSystem::us;
    // E takes 10 ft by 150 ft of our 15,000 ft2, W only meets us.
    write_text(dir / "parcel.geojson",
               collection({rectangle("L1", {0, 0}, {100, 150}), rectangle("E", {90, 0}, {190, 150}),
                           rectangle("W", {-40, 0}, {0, 150})}));
    const auto texts = texts_of_rule(read_site(layers), "site.parcel");
    REQUIRE(texts.size() == 1);
    CHECK_THAT(texts[0],
               Catch::Contains("The lot \"E\" (parcel.geojson, layer parcel, feature 1) lies over 1500 ft2 of "
                               "our lot (10 % of it)"));
}

TEST_CASE("one coordinate far from the lot is named, whatever layer it is in", "[site]")
{
    const auto dir = folder("far_vertex");
    const std::vector<std::pair<std::string, std::string>> lines{
        {"utilities", R"("facility":"gas")"}, {"breaklines", R"("elev":1)"}, {"footing_drain", ""}};
    for (const auto& [part, properties] : lines) {
        for (const double y : {1e5, -1e8, 1e16, 1e308, -1e308}) {
            INFO(part << " " << y);
            auto layers = write_lot(dir, true);
            LayerUse use;
            use.crs = "tape";
            const Drawn drawn{part, "LineString", properties, {{40, 65}, {45, y}}, 0};
            use.file = write_text(dir / "far.geojson", collection({feature(drawn, drawn.points)}));
            layers.parts[part] = {use};
            CHECK_THAT(error_of([&] { read_site(layers); }),
                       Catch::Contains("far.geojson, layer far, feature 0: the vertex at (45") &&
                           Catch::Contains("reading.farthest"));
        }
    }
    // Of our own lot three corners tell where it is.
    auto layers = write_lot(dir, true);
    const auto lot = area("L1", {{0, 0}, {100, 0}, {1e9, 150}, {0, 150}});
    write_text(dir / "parcel.geojson", collection({feature(lot, lot.points)}));
    CHECK_THAT(error_of([&] { read_site(layers); }),
               Catch::Contains("parcel.geojson, layer parcel, feature 0: the vertex at (1000000000.000, 150.000)"));
}

TEST_CASE("what lies far from the lot as a whole is left out and said; an edge that passes by the lot is not", "[site]")
{
    const auto dir = folder("far_whole");
    auto layers = write_lot(dir, true);
    const auto line = [](const std::string& facility, std::vector<Point> points) {
        return feature({"", "LineString", "\"facility\":\"" + facility + "\"", {}, 0}, points);
    };
    const auto near = line("gas", {{10, 0}, {12, 40}});
    write_text(dir / "utilities.geojson", collection({line("water", {{1e5, 0}, {1e5, 40}}), near}));
    const auto site = read_site(layers);
    REQUIRE(site.marks.size() == 1);
    CHECK(site.marks[0].facility == Facility::gas);
    CHECK_THAT(
        texts_of_rule(site, "site.far_outside").at(0),
        Catch::Contains("utilities.geojson, layer utilities: 1 of 2 features lie more than 5000.00 m from the lot "
                        "and are left out, the first is feature 0"));
    write_text(dir / "utilities.geojson", collection({line("water", {{-1e5, 40}, {1e5, 40}}), near}));
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("feature 0: the vertex at (-100000.000, 40.000)"));
    layers.reading.farthest_m = 1e5;
    CHECK(read_site(layers).marks.size() == 2);
    layers.reading.farthest_m = 5000;
    write_text(dir / "utilities.geojson", collection({line("water", {{1e5, 0}, {1e5, 40}})}));
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("none of its 1 features lies within"));
}

TEST_CASE("a tape lot takes offsets, not degrees", "[site]")
{
    const auto dir = folder("tape_degrees");
    auto layers = write_lot(dir, true);
    auto& use = layers.parts["utilities"][0];
    const Drawn gas{"", "LineString", R"("facility":"gas")", {{-118.2, 33.9}, {-118.199, 33.901}}, 0};
    const auto degrees = collection({feature(gas, gas.points)});
    use.file = write_text(dir / "gas.geojson", degrees);
    use.crs = "";
    CHECK_THAT(error_of([&] { read_site(layers); }),
               Catch::Contains("gas.geojson: layer gas names no other system than WGS 84") &&
                   Catch::Contains("crs = \"tape\""));
    // Said to be offsets it still spans a thousandth of a foot; latitude first no less.
    use.crs = "tape";
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("look like degrees"));
    const Drawn swapped{"", "LineString", R"("facility":"gas")", {{33.9, -118.2}, {33.901, -118.199}}, 0};
    write_text(dir / "gas.geojson", collection({feature(swapped, swapped.points)}));
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("look like degrees"));
    // A shapefile without a .prj states nothing.
    vector_translate(write_text(dir / "bare.geojson", degrees), dir / "bare.shp", {"-f", "ESRI Shapefile"});
    use.crs = "";
    use.file = dir / "bare.shp";
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("layer bare states"));
    fs::remove(dir / "bare.prj");
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("look like degrees"));
    // On a surveyed lot the word is no system.
    auto surveyed = write_lot(dir, false);
    surveyed.parts["trees"][0].crs = "tape";
    CHECK_THAT(error_of([&] { read_site(surveyed); }), Catch::Contains("trees.geojson: crs = \"tape\" is for lots"));
}

TEST_CASE("a vertex without a height is missing, not 0", "[site]")
{
    const auto dir = folder("mixed_heights");
    auto layers = write_lot(dir, true);
    LayerUse use;
    use.crs = "tape";
    const auto geojson = [&](const std::string& type, const std::string& coordinates) {
        return write_text(dir / "banks.geojson",
                          collection({R"({"type":"Feature","properties":{},"geometry":{"type":")" + type +
                                      R"(","coordinates":)" + coordinates + "}}"}));
    };
    const auto complaint = [&] {
        layers.parts["breaklines"] = {use};
        return error_of([&] { read_site(layers); });
    };
    use.file = geojson("LineString", "[[10,20,100],[30,20],[50,20,100]]");
    CHECK_THAT(complaint(),
               Catch::Contains("banks.geojson, layer banks, feature 0: vertex 2 at (30.000, 20.000) has no "
                               "elevation"));
    use.file = geojson("LineString", "[[10,20],[30,20,100]]");
    CHECK_THAT(complaint(), Catch::Contains("vertex 1 at (10.000, 20.000)"));
    use.file = geojson("MultiLineString", "[[[10,20,100],[30,20,100]],[[50,20],[60,20]]]");
    CHECK_THAT(complaint(), Catch::Contains("vertex 1 at (50.000, 20.000)"));
    use.file = write_text(dir / "banks.csv", "WKT,id\n\"LINESTRING Z (10 20 100,30 20)\",B\n");
    CHECK_THAT(complaint(), Catch::Contains("banks.csv, layer banks, feature 1: vertex 2 at (30.000, 20.000)"));
    use.file = geojson("LineString", "[[10,20,100],[30,20,101]]");
    layers.parts["breaklines"] = {use};
    CHECK(read_site(layers).breaklines.at(0).line.at(1).elev_m == Approx(101 * 0.3048));
}

TEST_CASE("roof areas have their own unit and a range that is believed", "[site]")
{
    const auto dir = folder("roof_areas");
    auto layers = write_lot(dir, true);
    auto& use = layers.parts["sources"][0];
    const auto area_m2 = [&] { return read_site(layers).sources.at(0).roof_area_m2; };
    const double ft2_m2 = 0.3048 * 0.3048;
    for (const auto unit : {LengthUnit::inch, LengthUnit::foot, LengthUnit::us_survey_foot}) {
        use.size_unit = unit;
        CHECK(area_m2() == Approx(600 * ft2_m2));
    }
    for (const auto unit : {LengthUnit::meter, LengthUnit::centimeter, LengthUnit::millimeter}) {
        use.size_unit = unit;
        CHECK(area_m2() == Approx(600));
    }
    use.area_unit = AreaUnit::square_foot;
    CHECK(area_m2() == Approx(600 * ft2_m2));
    use.area_unit.reset();
    layers.area_unit = AreaUnit::square_yard;
    CHECK(area_m2() == Approx(600 * 9 * ft2_m2));
    // The same 600 ft2 written in square inches (86,400), and a roof of 6 "squares" of 100 ft2.
    layers.area_unit = AreaUnit::square_foot;
    for (const std::string text : {"86400", "6"}) {
        use.constants = {{"roof_area", text}};
        CHECK_THAT(error_of([&] { read_site(layers); }),
                   Catch::Contains("sources.geojson, layer sources, feature 0: roof_area " + text +
                                   " ft2 is out of range: 50 to 10000 ft2 are believed"));
    }
    use.constants = {{"roof_area", "0"}};
    CHECK(area_m2() == 0);
}

TEST_CASE("doubts are findings: stray features, improper surfaces", "[site]")
{
    const auto dir = folder("doubts");
    auto layers = write_lot(dir, true);
    // A bowtie of two triangles of 5 x 10 / 2 ft each way: area 0 by the shoelace, 50 ft2 made proper.
    write_text(dir / "ground_cover.geojson",
               collection({feature({"", "Polygon", R"("kind":"walk")", {}, 0}, {{0, 0}, {10, 10}, {10, 0}, {0, 10}})}));
    write_text(dir / "trees.geojson", collection({feature({"", "Point", R"("trunk":1)", {}, 0}, {{9000, 0}})}));
    write_text(dir / "utilities.geojson", collection({}));
    const auto site = read_site(layers);
    double area = 0;
    for (const auto& patch : site.surfaces) {
        area += area_m2(patch.area);
    }
    CHECK(area == Approx(50 * 0.3048 * 0.3048));
    const auto said = [&](const std::string& rule, const std::string& text) {
        return std::any_of(site.findings.begin(), site.findings.end(), [&](const Finding& finding) {
            return finding.rule == rule && finding.text.find(text) != std::string::npos;
        });
    };
    CHECK(said("site.geometry",
               "(its outline crosses itself at (5.000, 5.000)); made proper, area 0.0 m2 before, 4.6 m2"));
    // 9000 ft less the lot's 100 ft.
    CHECK(said("site.far_outside",
               "1 of 1 features reach more than 500.00 m from the lot; the furthest, feature 0, 2712.72"));
    CHECK(site.marks.empty());
    layers.print_units = UnitSystem::us;
    const auto printed = read_site(layers).findings;
    CHECK(std::any_of(printed.begin(), printed.end(), [](const Finding& finding) {
        return finding.text.find("area 0 ft2 before, 50 ft2 after") != std::string::npos;
    }));
}

TEST_CASE("improper polygons far away are one line with the nearest; one near the lot stands by itself", "[site]")
{
    const auto dir = folder("far_doubts");
    auto layers = write_lot(dir, true);
    layers.print_units = UnitSystem::us;
    LayerUse use;
    use.crs = "tape";
    // The lot is 100 ft wide: the nearest far one begins 400 ft from it, the near one 20 ft.
    use.file =
        write_text(dir / "others.geojson",
                   collection({bowtie_at(900, 50), bowtie_at(500, 50), bowtie_at(120, 50), bowtie_at(1300, 50)}));
    layers.parts["neighbors"] = {use};
    // A house on another lot makes nothing near.
    LayerUse house;
    house.crs = "tape";
    house.file = write_text(dir / "house.geojson", collection({rectangle("N", {890, 60}, {930, 90})}));
    layers.parts["foundation"].push_back(house);
    const auto site = read_site(layers);
    CHECK(site.neighbors.size() == 8);
    const auto texts = texts_of_rule(site, "site.geometry");
    REQUIRE(texts.size() == 2);
    CHECK(texts[0].find("others.geojson, layer others, feature 2: polygon is not proper") == 0);
    CHECK(texts[1] == "others.geojson, layer others: 3 polygons are not proper and were made proper; all lie away from "
                      "the lot, the nearest, feature 1, 400.0 ft from it");
}

TEST_CASE("a lot the job calls street is right of way, not a neighbor", "[site]")
{
    const auto dir = folder("street_lot");
    auto layers = write_lot(dir, true);
    write_text(dir / "parcel.geojson",
               collection({rectangle("L1", {0, 0}, {100, 150}), rectangle("ROAD", {-50, -60}, {150, -1}),
                           rectangle("ROAD", {-90, -60}, {-51, 150}), rectangle("E", {100, 0}, {200, 150})}));
    CHECK(read_site(layers).neighbors.size() == 3);
    layers.street_ids = {"ROAD"};
    const auto site = read_site(layers);
    CHECK(site.parcel.size() == 1);
    CHECK(site.neighbors.size() == 1);
    REQUIRE(site.right_of_way.size() == 2);
    CHECK(contains(site.right_of_way[0], {15, -9}));
    layers.street_ids = {"RAOD"};
    CHECK(error_of([&] { read_site(layers); }).find("\"RAOD\" of [parcel] street_ids; ids are L1, ROAD") !=
          std::string::npos);
    layers.street_ids = {"L1"};
    CHECK(error_of([&] { read_site(layers); }).find("\"L1\" of [parcel] street_ids is our lot") != std::string::npos);
}

TEST_CASE("a street strip over a neighbor's lot is said with both names and the area", "[site]")
{
    const auto dir = folder("street_over_lot");
    auto layers = write_lot(dir, true);
    layers.print_units = UnitSystem::us;
    LayerUse use;
    use.crs = "tape";
    use.file = write_text(dir / "street.geojson", collection({rectangle("Lane", {-50, -40}, {150, 0})}));
    layers.parts["right_of_way"] = {use};
    // 30 ft by 20 ft of the neighbor lie under the strip; the other one touches it only.
    write_text(dir / "parcel.geojson",
               collection({rectangle("L1", {0, 0}, {100, 150}), rectangle("E", {100, -20}, {130, 150}),
                           rectangle("W", {-40, 0}, {0, 150})}));
    const auto texts = texts_of_rule(read_site(layers), "site.right_of_way");
    REQUIRE(texts.size() == 1);
    CHECK(texts[0].find("\"Lane\" (street.geojson, layer street, feature 0) lies over 600 ft2 of the lot \"E\" "
                        "(parcel.geojson, layer parcel, feature 1). The lot wins") != std::string::npos);
    CHECK(texts[0].find("street_ids = [\"E\"]") != std::string::npos);
}

TEST_CASE("the place of a fault is told as the layer's own file would write it", "[site]")
{
    const auto dir = folder("fault_place");
    auto layers = write_lot(dir, false);
    layers.frame = {.kind = FrameChoice::Kind::named, .crs = "EPSG:2229", .tape_unit = LengthUnit::foot};
    // The two diagonals of a rectangle of 20 m meet in its middle, on the map as in degrees to well under 1 cm.
    const auto crossed = area("H", {{-118.2, 33.9}, {-118.1998, 33.9002}, {-118.1998, 33.9}, {-118.2, 33.9002}});
    write_text(dir / "foundation.geojson", collection({feature(crossed, crossed.points)}));
    CHECK(error_of([&] { read_site(layers); }).find("crosses itself at (-118.1999000, 33.9001000)") !=
          std::string::npos);
}

TEST_CASE("a surface kind without rules is an error that shows the known ones", "[site]")
{
    const auto dir = folder("surface_kinds");
    auto layers = write_lot(dir, true);
    CHECK(read_site(layers).surfaces.at(0).kind == "driveway");
    layers.surface_kinds = {"lawn", "sidewalk"};
    const auto said = error_of([&] { read_site(layers); });
    CHECK(said.find(
              "ground_cover.geojson, layer ground_cover, feature 0: there are no rules for ground cover \"driveway\"; "
              "known kinds are lawn, sidewalk") != std::string::npos);
    CHECK(said.find("ground_cover.driveway.may_enter") != std::string::npos);
}

TEST_CASE("every part that a job may name has a reader", "[site]")
{
    for (const auto& part : site_parts()) {
        INFO(part.name);
        CHECK(has_reader(part.name) == (part.name != "dem")); // a grid, which read_dem reads
    }
    CHECK_FALSE(has_reader("planted"));
}
