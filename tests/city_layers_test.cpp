// What cities publish: layers of a whole town, of which a plan takes what lies near one lot.
#include "gis_fixtures.hpp"
#include "trenchwright/base/city_date.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/layers.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <iterator>

using namespace trenchwright;
using namespace fixtures;
namespace fs = std::filesystem;

namespace {

constexpr const char* state_plane = "EPSG:26910"; // UTM zone 10 north, meters
constexpr double east = 430'000;
constexpr double north = 5'450'000;

std::string ring(double x, double y, double width, double height)
{
    std::string text;
    for (const auto& [dx, dy] : {std::pair{0.0, 0.0}, {width, 0.0}, {width, height}, {0.0, height}, {0.0, 0.0}}) {
        text += fmt::format("{}[{:.3f},{:.3f}]", text.empty() ? "" : ",", east + x + dx, north + y + dy);
    }
    return text;
}

std::string area(const std::string& properties, double x, double y, double width, double height)
{
    return fmt::format(
        R"({{"type":"Feature","properties":{{{}}},"geometry":{{"type":"Polygon","coordinates":[[{}]]}}}})", properties,
        ring(x, y, width, height));
}

std::string line(const std::string& properties, double x1, double y1, double x2, double y2)
{
    return fmt::format(R"({{"type":"Feature","properties":{{{}}},"geometry":{{"type":"LineString",)"
                       R"("coordinates":[[{:.3f},{:.3f}],[{:.3f},{:.3f}]]}}}})",
                       properties, east + x1, north + y1, east + x2, north + y2);
}

std::string point(const std::string& properties, double x, double y)
{
    return fmt::format(R"({{"type":"Feature","properties":{{{}}},"geometry":{{"type":"Point","coordinates":)"
                       R"([{:.3f},{:.3f}]}}}})",
                       properties, east + x, north + y);
}

/// A town of 21 x 21 lots of 20 x 30 m with a street 10 m wide south of each row; ours is "10-10".
struct Town {
    std::vector<std::string> lots;
    std::vector<std::string> houses;
    std::vector<std::string> mains;
};
Town town()
{
    Town made;
    for (int row = 0; row < 21; ++row) {
        made.mains.push_back(
            line(fmt::format(R"("id":"M{}","facility":"water")", row), 0, row * 40 + 5, 420, row * 40 + 5));
        for (int col = 0; col < 21; ++col) {
            const auto id = fmt::format("{}-{}", col, row);
            made.lots.push_back(area(fmt::format(R"("id":"{}","class":"lot")", id), col * 20, row * 40 + 10, 20, 30));
            made.houses.push_back(area(fmt::format(R"("id":"H{}")", id), col * 20 + 5, row * 40 + 20, 10, 10));
        }
    }
    return made;
}

LayerUse use_of(const fs::path& file)
{
    LayerUse use;
    use.file = file;
    return use;
}

SiteLayers write_town(const fs::path& dir)
{
    const auto made = town();
    SiteLayers layers;
    layers.parcel_ids = {"10-10"};
    const auto put = [&](const std::string& part, const std::vector<std::string>& features) {
        layers.parts[part] = {use_of(write_text(dir / (part + ".geojson"), collection(features, state_plane)))};
    };
    put("parcel", made.lots);
    put("foundation", made.houses);
    put("utilities", made.mains);
    put("sources", {point(R"("id":"D","kind":"downspout")", 205, 420)});
    put("outlets", {point(R"("id":"O","kind":"popup","roof":"yes")", 210, 415)});
    put("spots", {point(R"("elev":1)", 201, 411), point(R"("elev":1)", 219, 411), point(R"("elev":2)", 210, 439)});
    return layers;
}

SiteLayers in_format(SiteLayers layers, const std::string& driver, const std::string& ending,
                     const std::vector<std::string>& options = {})
{
    for (auto& [part, uses] : layers.parts) {
        auto to = uses[0].file;
        to.replace_extension(ending);
        std::vector<std::string> all{"-f", driver};
        all.insert(all.end(), options.begin(), options.end());
        vector_translate(uses[0].file, to, all);
        uses[0].file = to;
    }
    return layers;
}

std::vector<std::string> marks_of(const Site& site)
{
    std::vector<std::string> ids;
    std::ranges::transform(site.marks, std::back_inserter(ids), &Mark::id);
    return ids;
}

std::string refusal(const SiteLayers& layers)
{
    return error_of([&] { read_site(layers); });
}

bool found(const Site& site, const std::string& rule, const std::string& text)
{
    return std::ranges::any_of(site.findings, [&](const Finding& finding) {
        return finding.rule == rule && finding.text.find(text) != std::string::npos;
    });
}

} // namespace

TEST_CASE("of a town's layers what lies near the lot is read, the same from every format", "[city]")
{
    const auto layers = write_town(folder("town"));
    const auto site = read_site(layers);
    // Ours spans x 200 to 220 and y 410 to 440; 100 m farther lies what begins before 320 or 540 and ends after 100 or
    // 310. Lots in columns 4 (ends at 100) to 16 (begins at 320): 13; in rows 7 (ends at 320) to 13 (begins at 530):
    // 7. All but ours. Mains at y = 40 row + 5: rows 8 (325) to 13 (525).
    CHECK(site.neighbors.size() == 13 * 7 - 1);
    CHECK(marks_of(site) == std::vector<std::string>{"M8", "M9", "M10", "M11", "M12", "M13"});
    // Houses span x 5 to 15 of their lot and y 20 to 30 of their row: columns 5 to 15, rows 7 (ends at 310) to 13
    // (begins at 540).
    CHECK(site.foundations.size() == 1);
    CHECK(site.neighbor_buildings.size() == 11 * 7 - 1);
    const auto lots = std::ranges::find(site.layers, "parcel", &LayerRecord::part);
    CHECK(lots->in_file == 441);
    CHECK(lots->features == 13 * 7);
    // A shapefile turns its rings, and a FlatGeobuf writes its features along a curve: what is read is told by ids.
    const auto of = [](const Site& read) {
        auto ids = read.neighbor_ids;
        std::ranges::copy(read.neighbor_building_ids, std::back_inserter(ids));
        std::ranges::copy(marks_of(read), std::back_inserter(ids));
        std::ranges::sort(ids);
        return ids;
    };
    for (const auto& [driver, ending, options] : {std::tuple{"GPKG", "gpkg", std::vector<std::string>{}},
                                                  {"GPKG", "gpkg", {"-lco", "SPATIAL_INDEX=NO"}},
                                                  {"FlatGeobuf", "fgb", {}},
                                                  {"ESRI Shapefile", "shp", {"-lco", "SPATIAL_INDEX=YES"}}}) {
        INFO(driver);
        const auto other =
            read_site(in_format(write_town(folder(fmt::format("town_{}", ending))), driver, ending, options));
        CHECK(of(other) == of(site));
    }
}

TEST_CASE("layers in degrees and in another zone give the same lots as those in the lot's own system", "[city]")
{
    auto layers = write_town(folder("town_degrees"));
    const auto site = read_site(layers);
    for (const auto* system : {"EPSG:4269", "EPSG:26911"}) { // NAD83: no datum shift takes part
        auto& use = layers.parts["utilities"][0];
        const auto to = use.file.parent_path() / "other.gpkg";
        fs::remove(to);
        vector_translate(use.file.parent_path() / "utilities.geojson", to, {"-f", "GPKG", "-t_srs", system});
        use.file = to;
        CHECK(marks_of(read_site(layers)) == marks_of(site));
    }
}

TEST_CASE("an index beside a shapefile that belongs to another state of it loses nothing", "[city]")
{
    // docs/sources.md, X11: GDAL reads 0 of 14 features through such an index, without a word.
    const auto dir = folder("stale_index");
    const auto site = read_site(in_format(write_town(dir), "ESRI Shapefile", "shp"));
    const auto stale = folder("stale_index_other");
    write_text(stale / "parcel.geojson", collection({area(R"("id":"x")", 5000, 5000, 20, 30)}, state_plane));
    vector_translate(stale / "parcel.geojson", stale / "parcel.shp",
                     {"-f", "ESRI Shapefile", "-lco", "SPATIAL_INDEX=YES"});
    REQUIRE(fs::exists(stale / "parcel.qix"));
    fs::copy_file(stale / "parcel.qix", dir / "parcel.qix");
    auto layers = write_town(dir);
    layers.parts["parcel"][0].file = dir / "parcel.shp";
    CHECK(read_site(layers).neighbor_ids == site.neighbor_ids);
}

TEST_CASE("a feature without a place is found in an indexed GeoPackage too", "[city]")
{
    const auto dir = folder("placeless");
    auto layers = write_town(dir);
    const std::string none = R"({"type":"Feature","properties":{"id":"N","facility":"gas"},"geometry":null})";
    write_text(dir / "utilities.geojson", collection({town().mains[0], none}, state_plane));
    layers = in_format(layers, "GPKG", "gpkg");
    CHECK_THAT(refusal(layers), Catch::Contains("utilities, feature 2: has no place"));
    layers.parts["utilities"][0].where = "id <> 'N'";
    CHECK_NOTHROW(read_site(layers));
}

TEST_CASE("where takes OGR SQL and the same features in every format", "[city]")
{
    const auto dir = folder("where");
    auto layers = write_town(dir);
    layers.parts["utilities"][0].where = "id IN ('M9', 'M11') OR id LIKE 'M12'";
    for (const auto& [driver, ending] :
         {std::pair{"GeoJSON", "geojson"}, {"GPKG", "gpkg"}, {"ESRI Shapefile", "shp"}}) {
        auto some = std::string(ending) == "geojson" ? layers : in_format(layers, driver, ending);
        CHECK(marks_of(read_site(some)) == std::vector<std::string>{"M9", "M11", "M12"});
    }
    auto& use = layers.parts["utilities"][0];
    use.where = "idd = 'M9'";
    CHECK_THAT(refusal(layers), Catch::Contains("utilities.geojson: layer utilities: where = \"idd = 'M9'\" is not "
                                                "understood") &&
                                    Catch::Contains("its fields are id, facility"));
    use.where = "id = ";
    CHECK_THAT(refusal(layers), Catch::Contains("is not understood") && !Catch::Contains("\n"));
    use.where = "id = 'Z'";
    CHECK_THAT(refusal(layers), Catch::Contains("where = \"id = 'Z'\" holds for none of its 21 features"));
    use.where = "id = 'M0'"; // far from the lot
    const auto site = read_site(layers);
    CHECK(site.marks.empty());
    CHECK(found(site, "site.none_near", "utilities.geojson, layer utilities: none of its 21 features lies within"));
}

TEST_CASE("a layer beyond all belief is refused, not taken for empty", "[city]")
{
    const auto dir = folder("elsewhere");
    const auto layers = write_town(dir);
    write_text(dir / "utilities.geojson", collection({line(R"("facility":"gas")", 50'000, 0, 50'100, 0)}, state_plane));
    CHECK_THAT(refusal(layers), Catch::Contains("layer utilities: none of its 1 features lies within"));
    write_text(dir / "utilities.geojson",
               collection({line(R"("facility":"gas")", 0, 0, 100, 0)})); // meters said to be degrees
    CHECK_THAT(refusal(layers), Catch::Contains("is no longitude and latitude"));
}

TEST_CASE("ids are whole numbers, reals and texts, one or several", "[city]")
{
    const auto dir = folder("ids");
    auto layers = write_town(dir);
    for (const auto& [written, asked] : {std::pair{"23538449", "23538449"},
                                         {"23538449.0", "23538449"},
                                         {"2353844912345678.0", "2353844912345678"},
                                         {"\"012\"", "012"}}) {
        auto lots = town().lots;
        lots[10 * 21 + 10] = area(fmt::format("\"id\":{},\"class\":\"lot\"", written), 200, 410, 20, 30);
        std::erase_if(lots, [&](const std::string& lot) {
            return written[0] != '"' && lot.find("\"id\":\"") != std::string::npos;
        });
        write_text(dir / "parcel.geojson", collection(lots, state_plane));
        layers.parcel_ids = {asked};
        const auto site = read_site(layers);
        REQUIRE(site.parcel.size() == 1);
        CHECK(area_m2(site.parcel[0]) == Approx(600));
    }
    layers.parcel_ids = {"12"}; // a text with a zero before it is another id
    CHECK_THAT(refusal(layers), Catch::Contains("no lot has the id \"12\" of [parcel] id"));
    CHECK(plain_id("12.0") == "12");
    CHECK(plain_id("12.5") == "12.5");
    CHECK(plain_id("1e3") == "1e3");
}

TEST_CASE("lots named together are one lot without a line between them", "[city]")
{
    auto layers = write_town(folder("two_lots"));
    layers.parcel_ids = {"10-10", "11-10"};
    const auto site = read_site(layers);
    REQUIRE(site.parcel.size() == 1);
    CHECK(area_m2(site.parcel[0]) == Approx(1200));
    CHECK(parcel_text(layers) == "10-10, 11-10");
    CHECK(std::ranges::count(site.neighbor_ids, "11-10") == 0);
    layers.parcel_ids = {"10-10", "11-01x"};
    CHECK_THAT(refusal(layers), Catch::Contains("\"11-01x\" of [parcel] id"));
}

TEST_CASE("without an id ours is the lot the sources stand on, and the house is told by its ground and the sources",
          "[city]")
{
    const auto dir = folder("no_id");
    auto layers = write_town(dir);
    layers.parcel_ids.clear();
    auto site = read_site(layers);
    REQUIRE(site.parcel.size() == 1);
    CHECK(contains(site.parcel[0], to_site(site.frame, east + 210, north + 425)));
    // A double house over the lot line, 40 of its 100 m2 on our lot: ours where our downspout stands at it, else the
    // shed that stands on our lot as a whole.
    write_text(
        dir / "foundation.geojson",
        collection({area(R"("id":"double")", 214, 420, 15, 10), area(R"("id":"shed")", 201, 430, 4, 4)}, state_plane));
    site = read_site(layers);
    CHECK(site.foundation_ids == std::vector<std::string>{"shed"});
    write_text(dir / "sources.geojson", collection({point(R"("id":"D","kind":"downspout")", 214, 425)}, state_plane));
    site = read_site(layers);
    CHECK(site.foundation_ids == std::vector<std::string>{"double", "shed"});
}

TEST_CASE("the street is what no lot covers, on request, or along centerlines with a width, and is said to be assumed",
          "[city]")
{
    const auto dir = folder("street_between");
    auto layers = write_town(dir);
    CHECK(read_site(layers).right_of_way.empty());
    layers.street_between_lots = true;
    const auto site = read_site(layers);
    const auto sum = [](const std::vector<Polygon>& areas) {
        double sum_m2 = 0;
        for (const auto& piece : areas) {
            sum_m2 += area_m2(piece);
        }
        return sum_m2;
    };
    // The box of 220 x 230 m from (100, 310) to (320, 540) holds streets 10 m wide: y 320 to 330, 360 to 370, ... ,
    // 520 to 530, six of them.
    CHECK(sum(site.right_of_way) == Approx(6 * 10 * 220).epsilon(1e-6));
    CHECK(found(site, "site.right_of_way", "what no lot of parcel.geojson covers"));
    layers.street_between_lots = false;
    write_text(dir / "right_of_way.geojson", collection({line(R"("width":16)", 100, 405, 320, 405)}, state_plane));
    layers.parts["right_of_way"] = {use_of(dir / "right_of_way.geojson")};
    const auto along = read_site(layers);
    // 16 m wide where there is room for 10.
    for (const auto& piece : along.right_of_way) {
        for (const auto& lot : along.parcel) {
            CHECK(shared_area(piece, lot).area_m2 == Approx(0).margin(1e-6));
        }
    }
    CHECK(sum(along.right_of_way) >= 10 * 220 - 1);
    CHECK(sum(along.right_of_way) <= 10 * (220 + 16) + 1);
    write_text(dir / "right_of_way.geojson", collection({line("", 100, 405, 320, 405)}, state_plane));
    CHECK_THAT(refusal(layers), Catch::Contains("feature 0: is a line, the middle of a street, and has no width"));
}

TEST_CASE("all unknown words of a layer come in one error", "[city]")
{
    const auto dir = folder("words");
    auto layers = write_town(dir);
    const auto main = [](const std::string& properties) { return line(properties, 100, 405, 320, 405); };
    write_text(dir / "utilities.geojson",
               collection({main(R"("facility":"STM")"), main(R"("facility":"SAN","quality":"E")"),
                           main(R"("facility":"STM")"), main(R"("facility":"gas")")},
                          state_plane));
    const auto text = refusal(layers);
    CHECK_THAT(text, Catch::Contains("3 words are not known: facility \"SAN\" (1 feature, 1), facility \"STM\" (2 "
                                     "features, first 0), quality \"E\" (1 feature, 1)") &&
                         Catch::Contains("facility is one of electric, gas,") &&
                         Catch::Contains("words = { \"SAN\" = \"...\", \"STM\" = \"...\", \"E\" = \"...\" }"));
    layers.parts["utilities"][0].words = {{"STM", "storm sewer"}, {"SAN", "sanitary sewer"}, {"E", "D"}};
    CHECK(read_site(layers).marks.size() == 4);
}

TEST_CASE("a CSV with semicolons and decimal commas is read when the job says so", "[city]")
{
    const auto dir = folder("decimal_comma");
    auto layers = write_town(dir);
    auto use = use_of(
        write_text(dir / "spots.csv", "x;y;elev\n430201,5;5450411;1,25\n430219;5450411;1,5\n430210;5450439;2\n"));
    layers.parts["spots"] = {use};
    CHECK_THAT(refusal(layers), Catch::Contains("is not a number (decimal point, no unit)"));
    layers.parts["spots"][0].decimal_comma = true;
    const auto site = read_site(layers);
    REQUIRE(site.spots.size() == 3);
    CHECK(site.spots[0].elev_m == 1.25);
    CHECK(site.spots[0].at.x_m == Approx(to_site(site.frame, 430201.5, 5450411).x_m));
    write_text(dir / "spots.csv", "x;y;elev\n430201;5450411;1.250\n");
    CHECK_THAT(refusal(layers), Catch::Contains("\"1.250\" is not a number (decimal comma, no unit)"));
    layers.parts["utilities"][0].decimal_comma = true;
    CHECK_THAT(refusal(layers), Catch::Contains("is for CSV"));
}

TEST_CASE("sizes in millimeters and centimeters are read", "[city]")
{
    const auto dir = folder("millimeters");
    auto layers = write_town(dir);
    write_text(dir / "utilities.geojson",
               collection({line(R"("facility":"storm sewer","width":450)", 100, 405, 320, 405)}, state_plane));
    layers.parts["utilities"][0].size_unit = LengthUnit::millimeter;
    CHECK(read_site(layers).marks.at(0).width_m == Approx(0.45));
    layers.parts["utilities"][0].size_unit = LengthUnit::centimeter;
    CHECK(read_site(layers).marks.at(0).width_m == Approx(4.5));
}

TEST_CASE("dates are read as cities write them; those with two readings are refused with both", "[city]")
{
    // ISO 8601 for the forms with the year first; 1,795,737,600 s after the epoch is 2026-11-27T00:00:00Z by
    // `date -u -d 2026-11-27 +%s`.
    for (const auto* text :
         {"2026-11-27", "2026-11-27T08:30:00Z", "2026-11-27 08:30:00", "2026/11/27", "20261127", "1795737600000",
          "1795823999000", "11/27/2026", "27.11.2026", "27-11-2026", "2026/11/27 00:00:00+00"}) {
        INFO(text);
        CHECK(city_date(text).iso == "2026-11-27");
    }
    CHECK(city_date("1998").iso == "1998");
    CHECK(city_date("3/3/2026").iso == "2026-03-03");
    CHECK_THAT(city_date("03/04/2026").fault, Catch::Contains("may be 2026-03-04 or 2026-04-03"));
    CHECK_THAT(city_date("11/27/26").fault, Catch::Contains("two digits"));
    CHECK_THAT(city_date("1795737600").fault, Catch::Contains("seconds"));
    for (const auto* text : {"2026-02-30", "2026-13-01", "0000", "soon", "", "2026-11", "2026-11-27x", "31/31/2026"}) {
        INFO(text);
        CHECK(city_date(text).iso.empty());
        CHECK_FALSE(city_date(text).fault.empty());
    }
}
