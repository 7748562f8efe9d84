#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/site/layers.hpp"

#include <catch2/catch.hpp>

using namespace trenchwright;
using namespace fixtures;
namespace fs = std::filesystem;

namespace {

const std::string box = R"({"type":"Polygon","coordinates":[[[0,0],[9,0],[9,9],[0,9],[0,0]]]})";
const std::string bowtie = R"({"type":"Polygon","coordinates":[[[0,0],[9,9],[9,0],[0,9],[0,0]]]})";
const std::string line = R"({"type":"LineString","coordinates":[[0,0],[9,0]]})";
const std::string line_z = R"({"type":"LineString","coordinates":[[0,0,1],[9,0,1]]})";
const std::string dot = R"({"type":"Point","coordinates":[1,1]})";

std::string feature(const std::string& properties, const std::string& geometry)
{
    return R"({"type":"Feature","properties":{)" + properties + R"(},"geometry":)" + geometry + "}";
}

/// What read_site says about one faulty feature behind a good one.
struct Fault {
    std::string part;
    std::string properties;
    std::string geometry;
    std::string says;
};

std::string complaint(const fs::path& dir, const std::string& part, const std::vector<std::string>& features)
{
    SiteLayers layers;
    layers.frame = {.kind = FrameChoice::Kind::tape, .crs = "", .tape_unit = LengthUnit::meter};
    LayerUse use;
    use.crs = "tape";
    use.file = write_text(dir / (part + ".geojson"), collection(features));
    layers.parts[part].push_back(use);
    return error_of([&] { read_site(layers); });
}

} // namespace

TEST_CASE("a wrong value is one error with file, layer, feature and value", "[site]")
{
    const auto dir = folder("bad_values");
    const std::vector<Fault> faults{
        {"parcel", R"("id":"L")", line, "geometry is lines; parcel are given as polygons"},
        {"parcel", R"("id":"L")", bowtie, "polygon is not proper"},
        {"foundation", "", bowtie, "its outline crosses itself at (4.500, 4.500)"},
        {"foundation", "", dot, "geometry is points"},
        {"foundation", "", "null", "has no place"},
        {"neighbors", "", line, "geometry is lines"},
        {"neighbors", "", "null", "has no place"},
        {"right_of_way", "", bowtie, "not proper"},
        {"right_of_way", "", "null", "has no place"},
        {"utilities", R"("id":"a\u001b[31m")", line, "id holds a control character, code 27"},
        {"utilities", R"("id":"a\u0085")", line, "id holds a control character, code 133"},
        {"utilities", R"("facility":"steam")", line, "facility \"steam\" is not one of electric"},
        {"utilities", R"("width":"0,5")", line, "width \"0,5\" is not a number"},
        {"utilities", R"("width":-0.5)", line, "width -0.5 m is out of range: 0 to 10 m are believed"},
        {"utilities", R"("width":400)", line, "width 400 m is out of range"},
        {"utilities", R"("exposed_depth":"2 ft")", line, "exposed_depth \"2 ft\""},
        {"utilities", R"("exposed_depth":-1)", line, "exposed_depth -1"},
        {"utilities", R"("quality":"E")", line, "quality \"E\" is not one of A, B, C, D"},
        {"utilities", R"("accuracy":"good")", line, "accuracy \"good\""},
        {"utilities", R"("date":"04-02-2026x")", line, "date \"04-02-2026x\" is no date; write it YYYY-MM-DD"},
        {"utilities", R"("date":"2026-13-02x")", line, "2026-13-02"},
        {"utilities", R"("may_cross":"maybe")", line, "may_cross \"maybe\""},
        {"utilities", R"("ends_seen":"maybe")", line, "ends_seen \"maybe\""},
        {"utilities", "", dot, "geometry is points; utilities are given as lines"},
        {"utilities", "", "null", "has no place"},
        {"utilities", "", R"({"type":"LineString","coordinates":[[3,3],[3,3]]})", "a line without length"},
        {"ground_cover", "", box, "has no kind"},
        {"ground_cover", R"("kind":"lawn")", dot, "geometry is points"},
        {"ground_cover", R"("kind":"lawn")", "null", "has no place"},
        {"trees", R"("trunk":1)", "null", "has no place"},
        {"spots", R"("elev":1)", "null", "has no place"},
        {"trees", "", dot, "has no trunk"},
        {"trees", R"("trunk":"thick")", dot, "trunk \"thick\""},
        {"trees", R"("trunk":0)", dot, "trunk 0 m is out of range: 0.001 to 12 m are believed"},
        {"trees", R"("trunk":30)", dot, "trunk 30 m is out of range"},
        {"trees", R"("trunk":1)", box, "geometry is polygons"},
        {"keep_outs", "", bowtie, "not proper"},
        {"keep_outs", "", line, "geometry is lines"},
        {"spots", R"("elev":"12,5")", dot, "elev \"12,5\""},
        {"spots", R"("elev":-9999)", dot, "elev -9999 m is out of range: -500 to 9000 m are believed"},
        {"spots", R"("elev":-32768)", dot, "declare it as nodata"},
        {"spots", R"("rod":4.2)", dot, "rod 4.2 needs the height of the line of sight: write [instrument] height"},
        {"spots", R"("elev":12)", line, "geometry is lines"},
        {"breaklines", "", line, "vertex 1 at (0.000, 0.000) has no elevation"},
        {"breaklines", "", box, "geometry is polygons"},
        {"breaklines", R"("elev":"low")", line, "elev \"low\""},
        {"sources", "", dot, "has no kind"},
        {"sources", R"("kind":"hose")", dot, "kind \"hose\" is not one of downspout, pump"},
        {"sources", R"("kind":"pump","water":"rain")", dot, "water \"rain\""},
        {"sources", R"("kind":"pump","flow":"20")", dot, "flow \"20\" is not a flow with its unit"},
        {"sources", R"("kind":"pump","flow":"20 cups")", dot, "flow \"20 cups\""},
        {"sources", R"("kind":"pump","flow":"2000 l/s")", dot,
         "\"2000 l/s\" is out of range: 0 to 1000 l/s are believed"},
        {"sources", R"("kind":"pump","flow_gpm":-3)", dot, "flow_gpm -3 gpm is out of range: 0 to 15850.3 gpm"},
        {"sources", R"("kind":"downspout","roof_area":"big")", dot, "roof_area \"big\""},
        {"sources", R"("kind":"downspout","highest_invert":1e5)", dot, "highest_invert 100000 m is out of range"},
        {"sources", R"("kind":"pump")", line, "geometry is lines"},
        {"sources", R"("kind":"pump")", R"({"type":"MultiPoint","coordinates":[[1,1],[2,2]]})",
         "2 points; a source is one"},
        {"outlets", "", dot, "has no kind"},
        {"outlets", R"("kind":"river")", dot, "kind \"river\" is not one of curb, popup, inlet, swale"},
        {"outlets", R"("kind":"curb","roof":"perhaps")", line, "roof \"perhaps\" is not one of yes, ask, no"},
        {"outlets", R"("kind":"curb","gutter":5,"curb_top":4)", line, "gutter 5 lies above curb_top 4"},
        {"outlets", R"("kind":"inlet","lowest_invert":5,"highest_invert":4)", dot, "lowest_invert 5 lies above"},
        {"outlets", R"("kind":"curb","fee":"$100")", line, "fee \"$100\""},
        {"outlets", R"("kind":"curb","fee":-1)", line, "fee -1"},
        {"outlets", R"("kind":"curb","lead_time_days":"soon")", line, "lead_time_days \"soon\""},
        {"outlets", R"("kind":"popup","setback_foundation":"10'")", dot, "setback_foundation \"10'\""},
        {"outlets", R"("kind":"popup","setback_lot_line":-2)", dot, "setback_lot_line -2"},
        {"outlets", R"("kind":"popup","setback_street":1e9)", dot, "setback_street 1000000000"},
        {"outlets", R"("kind":"popup")", bowtie, "not proper"},
        {"outlets", R"("kind":"popup")", "null", "has no place"},
    };
    for (const auto& fault : faults) {
        INFO(fault.part << " " << fault.properties << " " << fault.geometry);
        const auto text = complaint(dir, fault.part, {feature(fault.properties, fault.geometry)});
        CHECK_THAT(text, Catch::Contains(fault.says));
        CHECK_THAT(text, Catch::Contains(fault.part + ".geojson") && Catch::Contains("layer " + fault.part) &&
                             Catch::Contains("feature 0"));
    }
}

TEST_CASE("ids are unique within a part", "[site]")
{
    const auto dir = folder("bad_ids");
    const std::vector<Fault> parts{{"utilities", "", line, ""},
                                   {"trees", R"("trunk":1)", dot, ""},
                                   {"keep_outs", "", box, ""},
                                   {"spots", R"("elev":1)", dot, ""},
                                   {"sources", R"("kind":"pump")", dot, ""},
                                   {"outlets", R"("kind":"popup")", dot, ""}};
    for (const auto& part : parts) {
        const auto properties = part.properties.empty() ? R"("id":"A")" : R"("id":"A",)" + part.properties;
        const auto one = feature(properties, part.geometry);
        const auto text = complaint(dir, part.part, {one, one});
        CHECK_THAT(text, Catch::Contains("feature 1: id \"A\" is taken by an earlier feature of " + part.part));
    }
}

TEST_CASE("wrong names in a job's layers are errors that show the right ones", "[site]")
{
    const auto dir = folder("bad_names");
    SiteLayers layers;
    layers.frame.kind = FrameChoice::Kind::tape;
    LayerUse use;
    use.crs = "tape";
    use.file = write_text(dir / "trees.geojson", collection({feature(R"("DBH":1)", dot)}));
    layers.parts["tres"] = {use};
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("no part \"tres\"") && Catch::Contains("trees"));
    layers.parts.clear();
    use.fields = {{"trunk", "DBHX"}};
    layers.parts["trees"] = {use};
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("trees.geojson") &&
                                                         Catch::Contains("no field \"DBHX\" for trunk") &&
                                                         Catch::Contains("DBH"));
    use.fields = {{"girth", "DBH"}};
    layers.parts["trees"] = {use};
    CHECK_THAT(error_of([&] { read_site(layers); }),
               Catch::Contains("no attribute \"girth\"") && Catch::Contains("trunk"));
    // No system anywhere, and nobody said tape.
    layers.frame.kind = FrameChoice::Kind::from_layers;
    use.fields = {};
    use.crs = "";
    use.file = write_text(dir / "trees.csv", "x,y,trunk\n1,2,1\n");
    layers.parts["trees"] = {use};
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("no layer states a coordinate system"));
    layers.frame = {.kind = FrameChoice::Kind::named, .crs = "EPSG:99999999", .tape_unit = LengthUnit::foot};
    use.file = dir / "trees.geojson";
    layers.parts["trees"] = {use};
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("EPSG:99999999"));
    // A dem that is no grid.
    layers.frame.kind = FrameChoice::Kind::tape;
    use.file = write_text(dir / "dem.asc", "nothing of a grid");
    layers.parts["dem"] = {use};
    use.crs = "tape";
    layers.parts["trees"][0].crs = use.crs;
    layers.parts["trees"][0].constants = {{"trunk", "1"}};
    layers.parts["parcel"] = {use};
    layers.parts["parcel"][0].file = write_text(dir / "parcel.geojson", collection({feature("", box)}));
    CHECK_THAT(error_of([&] { read_site(layers); }), Catch::Contains("dem.asc"));
}
