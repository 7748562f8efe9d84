#include "exchange_read.hpp"
#include "export_fixture.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/export/exchange/drawing_field.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/dxf.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <set>
#include <sstream>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;
using nlohmann::json;

namespace {

/// The pairs of lines a DXF file is made of: a code, a value.
std::vector<std::pair<int, std::string>> groups_in(const std::string& dxf)
{
    std::vector<std::pair<int, std::string>> groups;
    std::istringstream lines(dxf);
    std::string code;
    std::string value;
    while (std::getline(lines, code) && std::getline(lines, value)) {
        groups.emplace_back(std::stoi(code), value);
    }
    return groups;
}

std::string header_value(const std::string& dxf, const std::string& variable)
{
    const auto groups = groups_in(dxf);
    const auto found = std::ranges::find(groups, std::pair(9, variable));
    REQUIRE(found != groups.end());
    auto value = std::next(found)->second;
    std::erase(value, ' ');
    return value;
}

/// Color number of each layer of the table.
std::map<std::string, int> layer_colors(const std::string& dxf)
{
    std::map<std::string, int> colors;
    std::string name;
    bool in_layer = false;
    for (const auto& [code, value] : groups_in(dxf)) {
        in_layer = code == 0 ? value == "LAYER" : in_layer;
        name = in_layer && code == 2 ? value : name;
        if (in_layer && code == 62) {
            colors[name] = std::stoi(value);
        }
    }
    return colors;
}

std::vector<ReadRow> drawn_in(const std::vector<ReadRow>& rows, const std::string& layer, const std::string& kind)
{
    std::vector<ReadRow> found;
    std::ranges::copy_if(rows, std::back_inserter(found), [&](const auto& row) {
        return row.values.at("Layer") == layer && row.kind == kind && !row.values.contains("Text");
    });
    return found;
}

std::vector<std::string> texts_in(const std::vector<ReadRow>& rows, const std::string& layer)
{
    std::vector<std::string> found;
    for (const auto& row : rows) {
        if (row.values.at("Layer") == layer && row.values.contains("Text")) {
            found.push_back(row.values.at("Text"));
        }
    }
    return found;
}

std::string joined(const std::vector<std::string>& texts)
{
    std::string all;
    for (const auto& text : texts) {
        all += text + " ";
    }
    return all;
}

void check_native(const Point3& read, const Frame& frame, const Point& at)
{
    const auto native = to_native(frame, at);
    CHECK(std::hypot(read.x_m - native.x, read.y_m - native.y) * frame.meters_per_native < 1e-6);
}

/// Every line of the drawn trenches, place by place, with heights in the unit of the grid.
void check_routes(const std::vector<ReadRow>& rows, const JobPlan& plan)
{
    const auto& frame = plan.site.frame;
    const auto trenches = trenches_of(drawn_outlet(plan));
    const auto lines = drawn_in(rows, "discharge trench", "LINESTRING");
    REQUIRE(lines.size() == trenches.size());
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto laid = laid_line(trenches[i]->line.route.line, trenches[i]->laid.profile.points);
        REQUIRE(lines[i].places.size() == laid.size());
        for (std::size_t at = 0; at < laid.size(); ++at) {
            check_native(lines[i].places[at], frame, flat(laid[at]));
            CHECK(lines[i].places[at].elev_m * frame.meters_per_native == Approx(laid[at].elev_m).epsilon(1e-12));
        }
    }
}

std::vector<DrawingLayer> one_text(const std::string& text)
{
    return {{.name = "notes", .text_height_m = 0.3, .texts = {{.at = {1, 2}, .text = text}}}};
}

std::vector<ReadRow> read_back(const std::vector<DrawingLayer>& layers, const Frame& frame)
{
    const TestFolder folder;
    write_dxf(folder / "a.dxf", frame, layers);
    return rows_in(bytes_of(folder / "a.dxf"), "a.dxf", "DXF");
}

} // namespace

TEST_CASE("the drawing states the unit of its grid, and its heights are in that unit too", "[exchange]")
{
    // $INSUNITS: 1 inch, 2 foot, 6 meter, 21 US survey foot; $MEASUREMENT: 0 English, 1 metric.
    // Source: the published DXF reference, header variables, from memory.
    auto plan = sample_plan();
    auto dxf = trench_dxf(plan);
    CHECK(header_value(dxf, "$INSUNITS") == "21");
    CHECK(header_value(dxf, "$MEASUREMENT") == "0");
    const auto line = drawn_in(rows_in(dxf, "a.dxf", "DXF"), "discharge trench", "LINESTRING").at(0);
    CHECK(line.places.front().elev_m == Approx(29.7 * 3937 / 1200).epsilon(1e-12));
    plan.site.frame = frame_in("EPSG:25832", {.x = 500000, .y = 6200000});
    plan.site.frame.elev_unit = LengthUnit::foot; // heights of the files, not of the drawing
    dxf = trench_dxf(plan);
    CHECK(header_value(dxf, "$INSUNITS") == "6");
    CHECK(header_value(dxf, "$MEASUREMENT") == "1");
    check_routes(rows_in(dxf, "a.dxf", "DXF"), plan);
    plan.site.frame = tape_frame(LengthUnit::foot);
    dxf = trench_dxf(plan);
    CHECK(header_value(dxf, "$INSUNITS") == "2");
    check_routes(rows_in(dxf, "a.dxf", "DXF"), plan);
    plan.site.frame = tape_frame(LengthUnit::inch);
    CHECK(header_value(trench_dxf(plan), "$INSUNITS") == "1");
}

TEST_CASE("the drawing holds the drawn outlet's trenches where the plan has them", "[exchange]")
{
    const auto plan = sample_plan();
    const auto rows = rows_in(trench_dxf(plan), "trench.dxf", "DXF");
    check_routes(rows, plan);
    std::size_t zones = 0;
    std::size_t crossings = 0;
    std::size_t stations = 0;
    for (const auto* trench : trenches_of(drawn_outlet(plan))) {
        zones += trench->measured.zones.size();
        crossings += trench->measured.crossings.size();
        stations += trench->measured.depths.size();
    }
    CHECK(drawn_in(rows, "hand-dig zone", "LINESTRING").size() + drawn_in(rows, "hand-dig zone", "POLYGON").size() ==
          zones);
    CHECK(drawn_in(rows, "crossing", "POINT").size() == crossings);
    CHECK(texts_in(rows, "crossing").size() == crossings + zones);
    CHECK(drawn_in(rows, "station", "POINT").size() == stations);
    CHECK(texts_in(rows, "station").size() <= stations);
    for (const auto* trench : trenches_of(drawn_outlet(plan))) { // the ends are never left out
        for (const auto* end : {&trench->measured.depths.front(), &trench->measured.depths.back()}) {
            CHECK_THAT(joined(texts_in(rows, "station")),
                       Contains(station_text(end->station_m, UnitSystem::us) + "  inv " +
                                elev_text(end->invert_elev_m, UnitSystem::us)));
        }
    }
    // 2.3 m to 3.7 m due north from (0, 0), 0.3 m wide
    const auto zone = drawn_in(rows, "hand-dig zone", "LINESTRING").empty()
                          ? drawn_in(rows, "hand-dig zone", "POLYGON").at(0)
                          : drawn_in(rows, "hand-dig zone", "LINESTRING").at(0);
    for (const auto& corner : zone.places) {
        const auto at = to_site(plan.site.frame, corner.x_m, corner.y_m);
        CHECK(std::abs(at.x_m) == Approx(0.15).margin(1e-6));
        CHECK(std::min(std::abs(at.y_m - 2.3), std::abs(at.y_m - 3.7)) < 1e-6);
    }
    CHECK_THAT(joined(texts_in(rows, "crossing")), Contains("depth unknown") && Contains("HAND DIG"));
    CHECK_THAT(joined(texts_in(rows, "station")), Contains(station_text(8, UnitSystem::us) + "  inv ") &&
                                                      Contains("cut " + depth_text(0.846, UnitSystem::us)));
}

TEST_CASE("labels keep off each other and off the buildings", "[exchange]")
{
    LabelField field({{.outer = {{10, 0}, {20, 0}, {20, 10}, {10, 10}}, .holes = {}}});
    const DrawingText text{.at = {0, 5}, .text = "ten letter"}; // 10 x 0.85 x 0.4 m = 3.4 m long
    CHECK(field.is_free(text, 0.4));
    field.block(text, 0.4);
    for (const Point& at : {Point{0, 5}, Point{0, 5.3}, Point{3, 5}, Point{-3, 4.8}}) {
        CHECK(!field.is_free({.at = at, .text = "ten letter"}, 0.4));
    }
    CHECK(field.is_free({.at = {0, 5.6}, .text = "ten letter"}, 0.4)); // a line and a half higher
    CHECK(field.is_free({.at = {4, 5}, .text = "ten letter"}, 0.4));
    CHECK(!field.is_free({.at = {8, 5}, .text = "ten letter"}, 0.4)); // runs into the building
    CHECK(
        field.is_free({.at = {9.5, 5}, .text = "ten letter", .turn_rad = 0, .anchor = TextAnchor::middle_right}, 0.4));
    field.block(Polyline{{0, 8}, {5, 8}}, 0.2);
    CHECK(!field.is_free({.at = {2, 8.3}, .text = "x"}, 0.4));
    CHECK(field.is_free({.at = {2, 8.7}, .text = "x"}, 0.4));
}

TEST_CASE("a label says which trench it belongs to, where there are several", "[exchange]")
{
    auto plan = sample_plan();
    const auto two = texts_in(rows_in(trench_dxf(plan), "a.dxf", "DXF"), "station");
    CHECK(
        std::ranges::all_of(two, [](const auto& text) { return text.starts_with("1: ") || text.starts_with("2: "); }));
    plan.outcomes[0].by_source.pop_back();
    const auto one = texts_in(rows_in(trench_dxf(plan), "a.dxf", "DXF"), "station");
    REQUIRE(!one.empty());
    CHECK(std::ranges::all_of(one, [](const auto& text) { return text.starts_with("0+"); }));
}

TEST_CASE("marks lie on layers of their own in the color code's colors", "[exchange]")
{
    // Numbers of the format's color table: 1 red, 2 yellow, 3 green, 5 blue, 8 dark gray, 30 orange.
    // Source: color index of the DXF reference, from memory.
    const std::map<std::string_view, int> numbers{{"red", 1},     {"yellow", 2},   {"green", 3},           {"blue", 5},
                                                  {"orange", 30}, {"purple", 200}, {"color not stated", 8}};
    const auto plan = sample_plan();
    const auto dxf = trench_dxf(plan);
    const auto rows = rows_in(dxf, "trench.dxf", "DXF");
    const auto colors = layer_colors(dxf);
    for (const auto& mark : plan.site.marks) {
        const auto layer = "mark - " + std::string(facility_name(mark.facility));
        INFO(layer);
        REQUIRE(colors.contains(layer));
        CHECK(colors.at(layer) == numbers.at(mark_code(mark.facility).color));
        CHECK_THAT(joined(texts_in(rows, layer)), Contains(mark.id));
        const auto lines = drawn_in(rows, layer, "LINESTRING");
        CHECK(std::ranges::any_of(lines, [&](const ReadRow& line) {
            const auto native = to_native(plan.site.frame, mark.line.back());
            return line.places.size() == mark.line.size() && std::abs(line.places.back().x_m - native.x) < 1e-6 &&
                   std::abs(line.places.back().y_m - native.y) < 1e-6;
        }));
    }
}

TEST_CASE("the drawing carries the cautions as text, on a lot without a system too", "[exchange]")
{
    auto plan = sample_plan();
    for (const auto& frame : {plan.site.frame, tape_frame(LengthUnit::foot)}) {
        plan.site.frame = frame;
        const auto notes = unwrapped(joined(texts_in(rows_in(trench_dxf(plan), "a.dxf", "DXF"), "notes and cautions")));
        for (const auto& caution : cautions()) {
            CHECK_THAT(notes, Contains(caution));
        }
        CHECK_THAT(notes, Contains("No marks supplied for: electric, storm sewer.") && Contains(frame.name));
    }
}

TEST_CASE("any text of a job comes back from the drawing", "[exchange]")
{
    const auto frame = tape_frame(LengthUnit::meter);
    for (const std::string text : {R"(3'-2 1/16")", R"(a, (b) ; c:"d" \P \\~ \~ ^J)",
                                   "M\xC3\xBCller \xE2\x82\xAC \xC5\x81\xC3\xB3"
                                   "d\xC5\xBA"}) {
        INFO(text);
        const auto rows = read_back(one_text(text), frame);
        REQUIRE(rows.size() == 1);
        CHECK(rows[0].values.at("Text") == text);
    }
    CHECK(read_back(one_text("{\\fArial;x}\r\n 0"), frame).at(0).values.at("Text") == "(\\fArial;x)   0");
    std::string words;
    for (int i = 0; i < 200; ++i) {
        words += (i == 0 ? "" : " ") + std::string("w\xC3\xB6rd") + std::to_string(i);
    }
    std::vector<std::string> lines;
    for (const auto& row : read_back(one_text(words), frame)) {
        lines.push_back(row.values.at("Text"));
    }
    CHECK(lines.size() > 1);
    CHECK(joined(lines) == words + " ");
    CHECK(joined(texts_in(read_back(one_text(std::string(700, 'x')), frame), "notes")).size() >= 700);
}

TEST_CASE("a text stands where it is put, turned and as high as asked", "[exchange]")
{
    const auto frame = frame_in("EPSG:2229", {.x = 6500000, .y = 1800000});
    const TestFolder folder;
    std::vector<DrawingLayer> layers{
        {.name = "notes",
         .text_height_m = 0.3,
         .texts = {{.at = {1, 2}, .text = "up", .turn_rad = std::numbers::pi / 2, .anchor = TextAnchor::middle}}}};
    write_dxf(folder / "a.dxf", frame, layers);
    std::map<int, double> of_text;
    bool in_text = false;
    for (const auto& [code, value] : groups_in(bytes_of(folder / "a.dxf"))) {
        in_text = code == 0 ? value == "MTEXT" : in_text;
        if (in_text && (code == 10 || code == 20 || code == 40 || code == 50 || code == 71)) {
            of_text[code] = std::stod(value);
        }
    }
    const auto native = to_native(frame, {1, 2});
    CHECK(of_text.at(10) == Approx(native.x).epsilon(1e-14));
    CHECK(of_text.at(20) == Approx(native.y).epsilon(1e-14));
    CHECK(of_text.at(40) == Approx(0.3 * 3937 / 1200).epsilon(1e-6));
    CHECK(of_text.at(50) == Approx(90));
    CHECK(of_text.at(71) == 5); // middle center; DXF reference, MTEXT, from memory
}

TEST_CASE("a drawing that cannot be written is an error", "[exchange]")
{
    const TestFolder folder;
    const auto frame = tape_frame(LengthUnit::meter);
    auto layers = one_text("a");
    layers[0].shapes = {Point{std::nan(""), 0}};
    CHECK_THROWS_AS(write_dxf(folder / "a.dxf", frame, layers), Error);
    layers = one_text("a");
    layers[0].name = "gas|line";
    CHECK_THROWS_AS(write_dxf(folder / "b.dxf", frame, layers), Error);
    put(folder / "c.dxf", "theirs");
    CHECK_THROWS_AS(write_dxf(folder / "c.dxf", frame, one_text("a")), Error);
    CHECK(bytes_of(folder / "c.dxf") == "theirs");
    CHECK_THROWS_AS(write_dxf(folder / "none" / "d.dxf", frame, one_text("a")), Error);
}

TEST_CASE("no name stands for two things in the drawing", "[exchange]")
{
    std::set<std::string> handles;
    bool dimension_style = false;
    for (const auto& [code, value] : groups_in(trench_dxf(sample_plan()))) {
        dimension_style = code == 0 ? value == "DIMSTYLE" : dimension_style;
        if (code == 5 && !dimension_style) { // a dimension style has its handle in group 105
            INFO(value);
            CHECK((value.size() == 8 || handles.insert(value).second)); // $HANDSEED is written with leading zeros
        }
    }
    CHECK(handles.size() > 50);
}

TEST_CASE("Quillet Lane, Ulmevang and the tape lot: files against the plan", "[exchange]")
{
    struct Lot {
        const char* name;
        const char* unit;
        const char* grid;
    };
    for (const auto& lot :
         {Lot{"quillet-lane", "21", "EPSG:3435"}, Lot{"brinkholt", "6", "EPSG:25832"}, Lot{"tape", "2", ""}}) {
        INFO(lot.name);
        const auto plan = demo_plan(lot.name);
        const auto dxf = trench_dxf(plan);
        CHECK(header_value(dxf, "$INSUNITS") == lot.unit);
        check_routes(rows_in(dxf, "trench.dxf", "DXF"), plan);
        CHECK(exchange_files(plan, exchange_list("all")).size() == (*lot.grid == '\0' ? 2U : 5U));
        if (*lot.grid == '\0') {
            continue;
        }
        const GridOf grid(lot.grid);
        const auto collection = json::parse(trench_geojson(plan));
        std::size_t route = 0;
        for (const auto& shown : ranked_trenches(plan)) {
            while (collection["features"][route]["properties"]["part"] != "route") {
                ++route;
            }
            const auto& places = collection["features"][route++]["geometry"]["coordinates"];
            const auto laid = laid_line(shown.trench->line.route.line, shown.trench->laid.profile.points);
            REQUIRE(places.size() == laid.size());
            for (std::size_t i = 0; i < laid.size(); ++i) {
                const auto native = grid(places[i][0], places[i][1]);
                const auto wanted = to_native(plan.site.frame, flat(laid[i]));
                CHECK(std::hypot(native.x - wanted.x, native.y - wanted.y) * plan.site.frame.meters_per_native < 0.001);
            }
        }
    }
}

TEST_CASE("a STOP stands in the drawing and in the styles, with its words among the notes", "[exchange]")
{
    auto plan = sample_plan();
    const auto texts_of = [&](const std::string& layer) {
        return texts_in(rows_in(trench_dxf(plan), "a.dxf", "DXF"), layer);
    };
    CHECK(texts_of("stop").empty());
    auto& trench = std::get<TrenchPlan>(plan.outcomes[0].by_source[0]);
    auto stop = finding(Severity::stop, "footing.wedge", "Lies below the footing's line.",
                        point_at(trench.line.route.line, 1), 1);
    stop.row_words = "STOP footing";
    stop.from_station_m = 1;
    stop.to_station_m = 2;
    trench.findings.push_back(stop);
    const auto said = texts_of("stop");
    REQUIRE(said.size() == 1);
    const auto units = plan.job.rules.units;
    CHECK_THAT(said.front(),
               Contains("STOP footing") && Contains(station_text(1, units)) && Contains(station_text(2, units)));
    std::string notes;
    for (const auto& line : texts_of("notes and cautions")) {
        notes += line + " ";
    }
    CHECK_THAT(notes, Contains("Lies below the footing's line."));
    CHECK_THAT(plan_styles_sld(plan), Contains("Lies below the footing's line.") && Contains(">STOP<"));
    CHECK(layer_colors(trench_dxf(plan)).at("stop") == 1); // color number 1 is red
}
