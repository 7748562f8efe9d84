#include "exchange_read.hpp"
#include "export_fixture.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/export/crew_page.hpp"
#include "trenchwright/export/crew_parts.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cpl_minixml.h>
#include <fmt/format.h>
#include <memory>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;
using nlohmann::json;

namespace {

/// Two outlets that work, so that what is drawn and what is not can be told apart.
JobPlan two_outlets()
{
    auto plan = sample_plan();
    auto second = plan.outcomes[0];
    second.outlet = 0;
    for (auto& answer : second.by_source) {
        std::get<TrenchPlan>(answer).outlet = 0;
    }
    plan.outcomes[1] = second;
    return plan;
}

JobPlan taped()
{
    auto plan = sample_plan();
    plan.site.frame = tape_frame(LengthUnit::foot);
    return plan;
}

std::vector<std::string> texts_of(const JobPlan& plan)
{
    return {trench_dxf(plan), trench_kml(plan), trench_geojson(plan), stakes_gpx(plan), plan_styles_sld(plan)};
}

/// A place of a file against the site's own, back through PROJ: 1 mm.
void check_lon_lat(const GridOf& grid, const Frame& frame, double longitude, double latitude, const Point& expected)
{
    CHECK(std::abs(longitude) <= 180);
    CHECK(std::abs(latitude) <= 90);
    const auto native = grid(longitude, latitude);
    const auto wanted = to_native(frame, expected);
    const double off_m = std::hypot(native.x - wanted.x, native.y - wanted.y) * frame.meters_per_native;
    CHECK(off_m < 0.001);
}

std::vector<ReadRow> in_layer(const std::vector<ReadRow>& rows, const std::string& layer)
{
    std::vector<ReadRow> found;
    std::ranges::copy_if(rows, std::back_inserter(found), [&](const auto& row) { return row.layer == layer; });
    return found;
}

std::vector<json> in_part(const json& collection, const std::string& part)
{
    std::vector<json> found;
    for (const auto& feature : collection["features"]) {
        if (feature["properties"]["part"] == part) {
            found.push_back(feature);
        }
    }
    return found;
}

double twice_area(const json& ring)
{
    double sum = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        // about the first corner, for degrees are far from 0
        const double ax = ring[i][0].get<double>() - ring[0][0].get<double>();
        const double ay = ring[i][1].get<double>() - ring[0][1].get<double>();
        const double bx = ring[i + 1][0].get<double>() - ring[0][0].get<double>();
        const double by = ring[i + 1][1].get<double>() - ring[0][1].get<double>();
        sum += ax * by - bx * ay;
    }
    return sum;
}

using Xml = std::unique_ptr<CPLXMLNode, decltype(&CPLDestroyXMLNode)>;

Xml xml_of(const std::string& text)
{
    Xml node(CPLParseXMLString(text.c_str()), &CPLDestroyXMLNode);
    REQUIRE(node);
    return node;
}

const CPLXMLNode* element(const Xml& document, const char* name)
{
    const auto* found = CPLGetXMLNode(document.get(), ("=" + std::string(name)).c_str());
    REQUIRE(found != nullptr);
    return found;
}

/// Elements of this name anywhere below.
void gather(const CPLXMLNode* node, const std::string& name, std::vector<const CPLXMLNode*>& found)
{
    for (const auto* child = node->psChild; child != nullptr; child = child->psNext) {
        if (child->eType == CXT_Element && name == child->pszValue) {
            found.push_back(child);
        }
        gather(child, name, found);
    }
}

std::vector<const CPLXMLNode*> all_below(const CPLXMLNode* node, const std::string& name)
{
    std::vector<const CPLXMLNode*> found;
    gather(node, name, found);
    return found;
}

std::string text_in(const CPLXMLNode* node, const char* path = "")
{
    return CPLGetXMLValue(node, path, "");
}

std::vector<std::string> child_names(const CPLXMLNode* node)
{
    std::vector<std::string> names;
    for (const auto* child = node->psChild; child != nullptr; child = child->psNext) {
        if (child->eType == CXT_Element) {
            names.emplace_back(child->pszValue);
        }
    }
    return names;
}

} // namespace

TEST_CASE("the list of files is read by its words", "[exchange]")
{
    CHECK(exchange_list("").formats.empty());
    CHECK(exchange_names(exchange_list("gpx,dxf,gpx")) == std::vector<std::string>{"trench.dxf", "stakes.gpx"});
    const auto all = exchange_list("all");
    CHECK(all.all);
    CHECK(exchange_names(all).size() == 5);
    CHECK_THROWS_WITH(exchange_list("kml,geojsn"), Contains("\"geojsn\"") && Contains("did you mean \"geojson\""));
    for (const auto* const wrong : {"dwg", "dxf,", "DXF", " dxf", "dxf kml"}) {
        INFO(wrong);
        try {
            exchange_list(wrong);
            FAIL("no error");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::usage);
        }
    }
}

TEST_CASE("the marks' own lines and their unknown depths are in KML and GeoJSON", "[exchange]")
{
    const auto plan = sample_plan();
    const GridOf grid("EPSG:2229");
    const auto kml = in_layer(rows_in(trench_kml(plan), "trench.kml", "LIBKML"), "marks");
    const auto lines = in_part(json::parse(trench_geojson(plan)), "marks");
    REQUIRE(kml.size() == plan.site.marks.size());
    REQUIRE(lines.size() == plan.site.marks.size());
    for (std::size_t i = 0; i < kml.size(); ++i) {
        const auto& mark = plan.site.marks[i];
        CHECK(kml[i].values.at("id") == mark.id);
        CHECK(lines[i]["properties"]["facility"] == facility_name(mark.facility));
        CHECK(lines[i]["properties"]["depth_m"].is_null() == !mark.exposed_depth_m);
        CHECK(kml[i].values.contains("depth_m") == mark.exposed_depth_m.has_value());
        CHECK(kml[i].values.at("depth") == (mark.exposed_depth_m ? "exposed" : "unknown"));
        const auto& places = lines[i]["geometry"]["coordinates"];
        REQUIRE(kml[i].places.size() == mark.line.size());
        REQUIRE(places.size() == mark.line.size());
        for (std::size_t at = 0; at < mark.line.size(); ++at) {
            check_lon_lat(grid, plan.site.frame, kml[i].places[at].x_m, kml[i].places[at].y_m, mark.line[at]);
            check_lon_lat(grid, plan.site.frame, places[at][0], places[at][1], mark.line[at]);
        }
    }
}

TEST_CASE("KML shows the drawn outlet alone, GeoJSON every outlet that works", "[exchange]")
{
    auto plan = two_outlets();
    const auto rows = rows_in(trench_kml(plan), "trench.kml", "LIBKML");
    REQUIRE(in_layer(rows, "route").size() == 2);
    for (const auto& row : rows) {
        CHECK((!row.values.contains("outlet") || row.values.at("outlet") == "curb"));
    }
    CHECK(in_part(json::parse(trench_geojson(plan)), "route").size() == 4);
    plan.job.sheet.outlet = "inlet";
    const auto other = in_layer(rows_in(trench_kml(plan), "trench.kml", "LIBKML"), "stations");
    REQUIRE(!other.empty());
    CHECK(std::ranges::all_of(other, [](const auto& row) { return row.values.at("outlet") == "inlet"; }));
    CHECK(trench_kml(plan).find("Outlet drawn: " + plan.site.outlets[0].name) != std::string::npos);
}

TEST_CASE("GeoJSON keeps to RFC 7946", "[exchange]")
{
    const auto plan = sample_plan();
    const auto collection = json::parse(trench_geojson(plan));
    CHECK(collection["type"] == "FeatureCollection");
    CHECK(!collection.contains("crs")); // section 4
    std::size_t expected = plan.site.marks.size();
    for (const auto& layer : plan_layers(plan)) {
        const bool shown = layer.geometry != OutGeometry::none || layer.name == "cautions";
        expected += shown ? layer.features.size() : 0;
    }
    CHECK(collection["features"].size() == expected);
    std::size_t areas = 0;
    for (const auto& feature : collection["features"]) {
        CHECK(feature["type"] == "Feature");
        REQUIRE(feature.contains("geometry")); // section 3.2
        if (feature["geometry"].is_null()) {
            CHECK(feature["properties"]["part"] == "cautions");
            continue;
        }
        if (feature["geometry"]["type"] == "Point") {
            CHECK(feature["geometry"]["coordinates"].size() == 2); // no height: section 3.1.1 wants the ellipsoid's
        }
        if (feature["geometry"]["type"] != "Polygon") {
            continue;
        }
        ++areas;
        const auto& rings = feature["geometry"]["coordinates"];
        for (std::size_t i = 0; i < rings.size(); ++i) { // section 3.1.6
            CHECK(rings[i].size() >= 4);
            CHECK(rings[i].front() == rings[i].back());
            CHECK((twice_area(rings[i]) > 0) == (i == 0));
        }
    }
    CHECK(areas >= 4);
}

TEST_CASE("holes run clockwise, whichever way the plan has them", "[exchange]")
{
    const Ring square{{0, 0}, {2, 0}, {2, 1}, {0, 1}}; // anticlockwise
    const Polyline turned{{0, 1}, {2, 1}, {2, 0}, {0, 0}, {0, 1}};
    CHECK(wound(square, false) == turned);
    CHECK(wound({square.rbegin(), square.rend()}, false) == turned);
    CHECK(wound({square.rbegin(), square.rend()}, true) == wound(square, true));
}

TEST_CASE("GPX has a waypoint for each row of the cut sheet", "[exchange]")
{
    const auto plan = two_outlets();
    const GridOf grid("EPSG:2229");
    const auto rows = rows_in(stakes_gpx(plan), "stakes.gpx", "GPX");
    std::size_t next = 0;
    for (const auto& sheet : cut_sheets(plan, *drawn_outlet(plan))) {
        for (const auto& row : sheet.rows) {
            REQUIRE(next < rows.size());
            const auto& stake = rows[next++];
            CHECK(stake.layer == "waypoints");
            check_lon_lat(grid, plan.site.frame, stake.places.at(0).x_m, stake.places.at(0).y_m, row.at);
            CHECK(std::stod(stake.values.at("ele")) == Approx(row.ground_elev_m).margin(0.0005).epsilon(0)); // meters
            CHECK(stake.values.at("name") ==
                  std::to_string(sheet.number) + ": " + station_text(row.station_m, UnitSystem::us));
            CHECK((stake.values.at("desc").find("dig by hand") != std::string::npos) == row.by_hand);
            CHECK(stake.values.at("desc").find("invert " + elev_text(row.invert_elev_m, UnitSystem::us)) !=
                  std::string::npos);
            const bool crosses = std::ranges::any_of(row.expected, &Expected::crosses);
            CHECK((stake.values.at("type") == "crossing") == crosses);
        }
    }
    CHECK(next == rows.size());
    CHECK(next > 0);
}

TEST_CASE("GPX has its elements in the order of its schema", "[exchange]")
{
    // GPX 1.1 schema: metadataType and wptType are sequences.
    const std::vector<std::string> in_waypoint{"ele",  "time", "magvar", "geoidheight", "name", "cmt",
                                               "desc", "src",  "link",   "sym",         "type"};
    const auto document = xml_of(stakes_gpx(sample_plan()));
    const auto* gpx = element(document, "gpx");
    CHECK(text_in(gpx, "version") == "1.1");
    CHECK(text_in(gpx, "xmlns") == "http://www.topografix.com/GPX/1/1");
    CHECK(child_names(gpx).front() == "metadata");
    CHECK(child_names(CPLGetXMLNode(const_cast<CPLXMLNode*>(gpx), "metadata")) ==
          std::vector<std::string>{"name", "desc"});
    for (const auto* waypoint : all_below(gpx, "wpt")) {
        auto from = in_waypoint.begin();
        for (const auto& name : child_names(waypoint)) {
            from = std::find(from, in_waypoint.end(), name);
            REQUIRE(from != in_waypoint.end());
        }
    }
}

TEST_CASE("the styles name layers and fields that plan.gpkg has, and all its layers with places", "[exchange]")
{
    const auto plan = sample_plan();
    const auto document = xml_of(plan_styles_sld(plan));
    const auto* root = element(document, "StyledLayerDescriptor");
    CHECK(text_in(root, "version") == "1.0.0");
    std::map<std::string, OutLayer> layers;
    for (const auto& layer : plan_layers(plan)) {
        if (layer.geometry != OutGeometry::none) {
            layers[layer.name] = layer;
        }
    }
    const auto named = all_below(root, "NamedLayer");
    CHECK(named.size() == layers.size());
    for (const auto* style : named) {
        const auto name = text_in(style, "Name");
        INFO(name);
        REQUIRE(layers.contains(name));
        CHECK(!all_below(style, "Rule").empty());
        for (const auto* property : all_below(style, "ogc:PropertyName")) {
            CHECK(std::ranges::find(layers[name].fields, text_in(property), &OutField::name) !=
                  layers[name].fields.end());
        }
        // SLD 1.0.0, OGC 02-070 section 11.3.2: the names every reader knows
        const std::set<std::string> shapes{"square", "circle", "triangle", "star", "cross", "x"};
        for (const auto* shape : all_below(style, "WellKnownName")) {
            CHECK(shapes.contains(text_in(shape)));
        }
    }
    CHECK(all_below(root, "GraphicFill").size() == 1); // hatched hand-dig ground
}

TEST_CASE("every kind of mark has its own color and pattern in the styles", "[exchange]")
{
    const auto document = xml_of(plan_styles_sld(sample_plan()));
    std::set<std::string> looks;
    std::set<std::string> kinds;
    for (const auto* style : all_below(element(document, "StyledLayerDescriptor"), "NamedLayer")) {
        if (text_in(style, "Name") != "mark_areas") {
            continue;
        }
        for (const auto* rule : all_below(style, "Rule")) {
            std::string look;
            for (const auto* parameter : all_below(all_below(rule, "Stroke").at(0), "CssParameter")) {
                look += text_in(parameter, "name") == "stroke-width" ? "" : text_in(parameter) + ";";
            }
            looks.insert(look);
            kinds.insert(text_in(all_below(rule, "ogc:Literal").at(0)));
        }
    }
    CHECK(looks.size() == all_facilities().size());
    for (const auto facility : all_facilities()) {
        CHECK(kinds.contains(std::string(facility_name(facility))));
    }
}

namespace {

double red_of(std::uint32_t rgb)
{
    return rgb >> 16U & 0xFFU;
}
double green_of(std::uint32_t rgb)
{
    return rgb >> 8U & 0xFFU;
}
double blue_of(std::uint32_t rgb)
{
    return rgb & 0xFFU;
}

/// Of the color circle: 60 degrees from one primary to the next, by the usual hexagon formula.
double hue_deg(std::uint32_t rgb)
{
    const double red = red_of(rgb);
    const double green = green_of(rgb);
    const double blue = blue_of(rgb);
    return std::atan2(std::sqrt(3.0) * (green - blue), 2 * red - green - blue) * 180 / 3.14159265358979;
}

} // namespace

TEST_CASE("marks are painted in the hue that the color code's word names", "[exchange]")
{
    // Hues in degrees as the words are commonly used (from memory); the words: APWA uniform color code.
    const std::map<std::string_view, std::pair<double, double>> hues{{"red", {-15, 15}},   {"orange", {16, 40}},
                                                                     {"yellow", {41, 65}}, {"green", {90, 150}},
                                                                     {"blue", {190, 250}}, {"purple", {270, 310}}};
    for (const auto facility : all_facilities()) {
        const auto paint = mark_paint(facility);
        for (const auto rgb : {paint.rgb, paint.letters_rgb}) {
            INFO(facility_name(facility) << " " << rgb);
            if (facility == Facility::unstated) { // gray has no hue
                CHECK(red_of(rgb) == green_of(rgb));
                CHECK(green_of(rgb) == blue_of(rgb));
                CHECK(red_of(rgb) < 0x80);
                continue;
            }
            double hue = hue_deg(rgb);
            const auto& [low, high] = hues.at(mark_code(facility).color);
            hue += hue < low ? 360 : 0;
            CHECK(hue >= low);
            CHECK(hue <= high);
        }
    }
    CHECK(mark_code(Facility::unstated).color == "color not stated");
}

TEST_CASE("a mark, the trench and the stretches by hand have the sheet's colors on crew page, KML and styles",
          "[exchange]")
{
    const auto plan = sample_plan();
    const auto page = crew_page(plan);
    const auto kml = trench_kml(plan);
    const auto styles = plan_styles_sld(plan);
    const auto has = [](const std::string& text, const std::string& part) {
        return text.find(part) != std::string::npos;
    };
    const auto kml_has = [&](std::uint32_t rgb) { // KML writes blue first
        const auto bgr = (rgb & 0xFFU) << 16U | (rgb & 0xFF00U) | rgb >> 16U;
        return has(kml, fmt::format("ff{:06x}</color>", bgr));
    };
    for (const auto facility : all_facilities()) {
        INFO(facility_name(facility));
        const auto rgb = mark_style(facility).ink.rgb;
        CHECK(crew_paint(facility).color == fmt::format("#{:06x}", rgb));
        CHECK(kml_has(rgb));
        CHECK(has(styles, fmt::format("#{:06X}", rgb)));
    }
    for (const auto rgb : {palette::trench.rgb, palette::hand.rgb}) {
        CHECK(has(page, fmt::format("{:06x};", rgb)));
        CHECK(kml_has(rgb));
        CHECK(has(styles, fmt::format("#{:06X}", rgb)));
    }
    CHECK(has(page, fmt::format("--stop: #{:06x};", palette::stop.rgb)));
}

TEST_CASE("every file carries every caution and never says that a place is free of danger", "[exchange]")
{
    auto plan = sample_plan();
    plan.site.marks.clear();
    for (auto& outcome : plan.outcomes) {
        outcome.works = false;
    }
    plan.outcomes[0].by_source = plan.outcomes[1].by_source;
    const auto drawn = sample_plan();
    for (const auto* const one : {&drawn, &std::as_const(plan)}) {
        const auto& some = *one;
        for (const auto& text : texts_of(some)) {
            CHECK(!std::regex_search(text, std::regex(R"(\b(safe|clear|OK)\b)")));
        }
        for (const auto& text : {trench_kml(some), trench_geojson(some), stakes_gpx(some), plan_styles_sld(some)}) {
            for (const auto& caution : cautions()) {
                CHECK(text.find(caution) != std::string::npos);
            }
            CHECK(text.find("electric, storm sewer.") != std::string::npos);
            CHECK(text.find("Private lines nobody asked about: irrigation (sprinkler) lines") != std::string::npos);
        }
    }
    plan.site.marks.clear();
    for (const auto& text : {trench_kml(plan), trench_geojson(plan), stakes_gpx(plan), plan_styles_sld(plan)}) {
        CHECK(text.find("unknown, no marks supplied") != std::string::npos);
    }
    CHECK(stakes_gpx(plan).find("No workable outlet") != std::string::npos);
    CHECK(rows_in(stakes_gpx(plan), "stakes.gpx", "GPX").empty());
}

TEST_CASE("the same plan gives the same bytes in every format", "[exchange]")
{
    CHECK(texts_of(sample_plan()) == texts_of(sample_plan()));
}

TEST_CASE("texts of the job come back from XML as they were", "[exchange]")
{
    auto plan = sample_plan();
    plan.site.marks[0].id = "<b>\"A\" & 'B'</b> \x01 M\xC3\xBCller";
    const auto rows = in_layer(rows_in(trench_kml(plan), "trench.kml", "LIBKML"), "marks");
    CHECK(rows.at(0).values.at("id") == "<b>\"A\" & 'B'</b>   M\xC3\xBCller"); // XML 1.0 cannot hold the control
}

TEST_CASE("a lot without a system gets no longitude: a clear word when named, a note with all", "[exchange]")
{
    const auto plan = taped();
    for (const auto* const named : {"kml", "dxf,geojson", "gpx,sld"}) {
        INFO(named);
        try {
            exchange_files(plan, exchange_list(named));
            FAIL("no error");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::input);
            CHECK_THAT(error.what(), Contains("measured by tape"));
        }
    }
    const auto all = exchange_files(plan, exchange_list("all"));
    REQUIRE(all.size() == 2);
    CHECK(all[0].name == "trench.dxf");
    CHECK(all[1].name == "trench-styles.sld");
    const auto notes = exchange_findings(plan, exchange_list("all"));
    REQUIRE(notes.size() == 1);
    CHECK_THAT(notes[0].text, Contains("trench.kml, trench.geojson, stakes.gpx"));
    CHECK(exchange_findings(plan, exchange_list("dxf")).empty());
    CHECK(exchange_findings(sample_plan(), exchange_list("all")).empty());
    CHECK(exchange_files(sample_plan(), exchange_list("all")).size() == 5);
    CHECK(exchange_files(plan, exchange_list("")).empty());
}
