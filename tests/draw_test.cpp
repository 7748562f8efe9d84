#include "draw_fixture.hpp"
#include "trenchwright/draw/overview.hpp"
#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/draw/sheet.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/page/labels.hpp"
#include "trenchwright/page/lettering.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/page/scale.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cctype>
#include <random>
#include <string>
#include <vector>

using namespace trenchwright;

namespace {

std::string drawn_text(const JobPlan& plan)
{
    Canvas canvas(sheet_size);
    draw_sheet(canvas, plan);
    std::string all;
    for (const auto& one : canvas.drawn_texts()) {
        all += one.text + "\n";
    }
    return all;
}

bool has(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

/// Lower-case words of a text.
std::vector<std::string> words(const std::string& text)
{
    std::vector<std::string> all(1);
    for (const char c : text) {
        if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
            all.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        } else if (!all.back().empty()) {
            all.emplace_back();
        }
    }
    return all;
}

/// True when every element is closed in the right order and attributes are quoted (XML 1.0, sections 2.1 and 3.1).
bool well_formed(const std::string& xml)
{
    std::vector<std::string> open;
    std::size_t at = xml.find("?>");
    while ((at = xml.find('<', at + 1)) != std::string::npos) {
        const auto end = xml.find('>', at);
        if (end == std::string::npos) {
            return false;
        }
        const auto tag = xml.substr(at + 1, end - at - 1);
        const auto name = tag.substr(0, tag.find_first_of(" /\n", 1));
        if (tag.front() == '/') {
            if (open.empty() || "/" + open.back() != name) {
                return false;
            }
            open.pop_back();
        } else if (tag.back() != '/') {
            open.push_back(name);
        }
        if (std::count(tag.begin(), tag.end(), '"') % 2 != 0) {
            return false;
        }
        at = end;
    }
    return open.empty();
}

unsigned int big_endian(const std::string& bytes, std::size_t at)
{
    unsigned int value = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        value = value * 256 + static_cast<unsigned char>(bytes[at + i]);
    }
    return value;
}

} // namespace

TEST_CASE("the overview picture is well-formed SVG of a 17 by 11 in sheet", "[draw]")
{
    const auto svg = overview_files(test::yard_plan(UnitSystem::us)).svg;
    CHECK(well_formed(svg));
    CHECK(has(svg, "width=\"1224pt\" height=\"792pt\"")); // 17 x 72, 11 x 72
}

TEST_CASE("the overview picture is a PNG of the stated size", "[draw]")
{
    const auto png = overview_files(test::yard_plan(UnitSystem::us)).png;
    CHECK(png.substr(0, 8) == "\x89PNG\r\n\x1a\n"); // ISO/IEC 15948, 5.2
    CHECK(big_endian(png, 16) == 17 * 150);         // IHDR width and height, ISO/IEC 15948, 11.2.2
    CHECK(big_endian(png, 20) == 11 * 150);
}

TEST_CASE("the same plan gives the same bytes, whatever was drawn before", "[draw]")
{
    const auto plan = test::yard_plan(UnitSystem::us);
    const auto first = overview_files(plan);
    overview_files(test::unmarked_plan());
    const auto second = overview_files(plan);
    CHECK(second.svg == first.svg);
    CHECK(second.png == first.png);
}

TEST_CASE("a drawing is printed to every form as often as one likes, with the same bytes", "[draw]")
{
    Canvas canvas({.width_pt = 200, .height_pt = 100});
    canvas.clip({10, 10, 150, 90});
    canvas.hatch({{{20, 20}, {120, 30}, {60, 80}}}, {.ink = {.rgb = 0x6B2E12}, .angle_rad = 0.5});
    canvas.unclip();
    canvas.text({30, 40}, "Invert", {.size_pt = 9, .masked = true, .turn_rad = 0.3});
    canvas.next_page();
    canvas.disc({50, 50}, 20, {.rgb = 0x24485C, .opacity_ratio = 0.5});
    const auto svg = svg_of(canvas);
    const auto png = png_of(canvas, 100);
    const auto pdf = pdf_of(canvas, "twice");
    CHECK(has(svg, "height=\"200pt\"")); // two pages of 100 pt below each other
    CHECK(big_endian(png, 20) == 278);   // 200 pt at 100 dots an inch
    CHECK(has(pdf, "/Count 2"));         // ISO 32000-1, 7.7.3.2
    CHECK(svg_of(canvas) == svg);
    CHECK(png_of(canvas, 100) == png);
    CHECK(pdf_of(canvas, "twice") == pdf);
}

TEST_CASE("a page turned back to is drawn on as if it had never been left", "[draw]")
{
    const PageSize size{.width_pt = 200, .height_pt = 100};
    const auto first = [](Canvas& canvas) { canvas.text({10, 10}, "first", {}); };
    const auto second = [](Canvas& canvas) { canvas.text({10, 10}, "second", {}); };
    const auto title = [](Canvas& canvas) { canvas.fill(PageBox{0, 80, 200, 100}, {.rgb = 0xEEF2F4}); };
    Canvas in_order(size);
    first(in_order);
    title(in_order);
    in_order.next_page();
    second(in_order);
    Canvas turned_back(size);
    title(turned_back);
    turned_back.clear();
    first(turned_back);
    turned_back.next_page();
    second(turned_back);
    turned_back.turn_to(0);
    title(turned_back);
    CHECK(svg_of(turned_back) == svg_of(in_order));
    CHECK(turned_back.drawn_texts()[1].page == 1);
}

TEST_CASE("the plan scale is the largest usual one that fits", "[draw]")
{
    // 60 x 100 ft on 6 x 10 in: exactly 1 in = 10 ft; any more and the next scale is taken.
    CHECK(plan_scale(60 * ft_in_m, 100 * ft_in_m, {432, 720.001}, UnitSystem::us).text == "1 in = 10 ft");
    CHECK(plan_scale(60 * ft_in_m, 100.1 * ft_in_m, {432, 720}, UnitSystem::us).text == "1 in = 20 ft");
    // 20 m on 0.2 m of paper: 1:100.
    const double paper_pt = 0.2 / 0.0254 * 72;
    CHECK(plan_scale(19.999, 1, {paper_pt, paper_pt}, UnitSystem::metric).text == "1:100");
    CHECK(plan_scale(20.001, 1, {paper_pt, paper_pt}, UnitSystem::metric).text == "1:125");
}

TEST_CASE("a drawn length on paper times the stated scale is the true length, in every direction", "[draw]")
{
    const auto scale = plan_scale(60 * ft_in_m, 100 * ft_in_m, {300, 400}, UnitSystem::us);
    REQUIRE(scale.text == "1 in = 20 ft");
    const PlanTransform transform{scale.meters_per_pt, {3, 4}, {100, 100}};
    for (const Point to : {Point{18.288, 0}, Point{0, 18.288}, Point{-10, 7}}) {
        const double paper_in = distance_pt(transform.to_page({0, 0}), transform.to_page(to)) / 72;
        CHECK(paper_in * 20 * ft_in_m == Approx(std::hypot(to.x_m, to.y_m)).epsilon(1e-12));
    }
    CHECK(transform.to_page({0, 1}).y_pt < transform.to_page({0, 0}).y_pt); // north is up
}

TEST_CASE("the lot line in the file has the lot's size at the stated scale", "[draw]")
{
    const auto plan = test::yard_plan(UnitSystem::us);
    CHECK(has(drawn_text(plan), "Plan: 1 in = 20 ft at full sheet size (17 x 11 in)"));
    const auto metric = drawn_text(test::yard_plan(UnitSystem::metric));
    CHECK(has(metric, "at full sheet size (432 x 279 mm)")); // 17 x 25.4 = 431.8, 11 x 25.4 = 279.4
    CHECK_FALSE(has(metric, "17 x 11"));
    CHECK(has(metric, "Units: meters, millimeters"));
    // 60 x 100 ft at 1 in = 20 ft: 3 x 5 in = 216 x 360 pt. The lot line is the only path with these four corners.
    const auto svg = overview_files(plan).svg;
    const std::string dashes = "stroke-dasharray:14,2.5,3,2.5,3,2.5";
    const auto path = svg.find(" d=\"M", svg.find(dashes));
    REQUIRE(path != std::string::npos);
    double x[4] = {};
    double y[4] = {};
    REQUIRE(std::sscanf(svg.c_str() + path, " d=\"M %lf %lf L %lf %lf L %lf %lf L %lf %lf Z", &x[0], &y[0], &x[1],
                        &y[1], &x[2], &y[2], &x[3], &y[3]) == 8);
    CHECK(std::abs(x[1] - x[0]) == Approx(216).margin(0.01));
    CHECK(std::abs(y[2] - y[1]) == Approx(360).margin(0.01));
}

TEST_CASE("no line ends inside a figure in feet, inches and sixteenths", "[draw]")
{
    // Room for the name and "15'-10" but not for the fraction: the whole figure goes to the next line.
    Lettering lettering;
    const TextStyle style{.size_pt = 8};
    const auto width = [&](const std::string& text) { return lettering.set(text, style).size.width_pt; };
    const std::string name = "corner A of the house";
    const auto set = lettering.set(name + " 15'-10 5/8\"", {.size_pt = 8, .wrap_pt = width(name + " 15'-10") + 1});
    CHECK(set.size.width_pt == Approx(width(name)).margin(width(" ")));
    CHECK(set.size.height_pt == Approx(2 * lettering.set(name, style).size.height_pt).epsilon(0.05));
    // Other blanks before a figure still break.
    const auto other = lettering.set(name + " 15 58", {.size_pt = 8, .wrap_pt = width(name + " 15") + 1});
    CHECK(other.size.width_pt == Approx(width(name + " 15")).margin(width(" ")));
}

TEST_CASE("a profile drawn at one scale is not said to be stretched", "[draw]")
{
    const DrawScale foot{.meters_per_pt = 0.0254, .text = ""};
    const DrawScale inch{.meters_per_pt = 0.0254 / 12, .text = ""};
    CHECK(ProfileScale{.along = foot, .up = foot}.stretch_words() == "no vertical exaggeration");
    CHECK(ProfileScale{.along = foot, .up = inch}.stretch_words() == "vertical exaggeration 12x");
}

TEST_CASE("heights in a profile are stretched by the ratio of its two scales", "[draw]")
{
    // 70 ft over 500 pt: 1 in = 20 ft gives 252 pt, 1 in = 10 ft 504 pt. 5 ft over 100 pt: 1 in = 4 ft gives 90 pt.
    const auto scale = profile_scale(70 * ft_in_m, 5 * ft_in_m, {500, 100}, UnitSystem::us);
    CHECK(scale.along.text == "1 in = 20 ft");
    CHECK(scale.up.text == "1 in = 4 ft");
    CHECK(scale.stretch_ratio() == Approx(5));
}

TEST_CASE("placed labels stay in the frame, apart from each other and off blocked lines", "[draw]")
{
    const PageBox frame{0, 0, 300, 200};
    LabelPlacer placer(frame);
    const PageLine trench{{10, 100}, {290, 110}};
    placer.block(trench);
    std::mt19937 random(7);
    const auto any = [&](double most) { return most * static_cast<double>(random() % 10000) / 10000; };
    std::vector<PageBox> boxes;
    for (int i = 0; i < 300; ++i) { // far more than there is room for
        const auto placed =
            placer.place({.at = {any(300), any(200)}, .size = {10 + any(30), 7}, .gap_pt = 3, .reach_pt = 40});
        if (placed) {
            boxes.push_back(placed->box);
        }
    }
    CHECK(boxes.size() > 60);
    CHECK(boxes.size() < 300);
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        CHECK(within(boxes[i], frame));
        CHECK_FALSE(meets(boxes[i], trench[0], trench[1]));
        for (std::size_t j = 0; j < i; ++j) {
            CHECK_FALSE(overlap(boxes[i], boxes[j]));
        }
    }
}

TEST_CASE("a label that had to move away keeps a leader to its anchor", "[draw]")
{
    LabelPlacer placer({0, 0, 200, 200});
    placer.block(PageBox{80, 80, 120, 120});
    const auto placed = placer.place({.at = {100, 100}, .size = {20, 8}, .gap_pt = 3, .reach_pt = 60});
    REQUIRE(placed);
    REQUIRE(placed->leader);
    CHECK(placed->leader->front() == PagePoint{100, 100});
    CHECK_FALSE(overlap(placed->box, {80, 80, 120, 120}));
}

TEST_CASE("every caution is on the sheet, word for word", "[draw]")
{
    for (const auto& plan : {test::yard_plan(UnitSystem::us), test::yard_plan(UnitSystem::metric), test::refused_plan(),
                             test::unmarked_plan()}) {
        const auto text = drawn_text(plan);
        for (const auto& caution : cautions()) {
            CHECK(has(text, caution));
        }
    }
}

TEST_CASE("the sheet never says safe or clear", "[draw]")
{
    for (const auto& plan : {test::yard_plan(UnitSystem::us), test::refused_plan(), test::unmarked_plan()}) {
        for (const auto& word : words(drawn_text(plan))) {
            CHECK(word != "safe");
            CHECK(word != "safely");
            CHECK(word != "clear");
        }
    }
}

TEST_CASE("kinds of utility without a mark are listed as not supplied", "[draw]")
{
    CHECK(has(drawn_text(test::yard_plan(UnitSystem::us)), "No marks supplied for: storm sewer, reclaimed water."));
    const auto unmarked = drawn_text(test::unmarked_plan());
    CHECK(has(unmarked, "unknown, no marks supplied"));
    CHECK(has(unmarked, "Missing are the marks of: electric, gas, communication, water, "));
    auto silent = test::unmarked_plan();
    silent.no_marks_for.clear();
    CHECK(has(drawn_text(silent), "Missing are the marks of: every utility."));
}

TEST_CASE("a refused outlet is named with its reason and no profile is drawn when none works", "[draw]")
{
    const auto some = drawn_text(test::yard_plan(UnitSystem::us));
    CHECK(has(some, "Street inlet 14\ninlet outlet, not workable"));
    CHECK(has(some, "falls short by 3.2 in at 0+41.30"));
    const auto none = drawn_text(test::refused_plan());
    CHECK(has(none, "No workable outlet"));
    CHECK(has(none, "falls short by 5.1 in at 0+33.00"));
    CHECK_FALSE(has(none, "vertical exaggeration"));
}

TEST_CASE("a crossing's depth is unknown on the sheet unless the line was exposed", "[draw]")
{
    const auto text = drawn_text(test::yard_plan(UnitSystem::us));
    CHECK(has(text, "G depth unknown"));
    CHECK(has(text, "W top ")); // the one exposed water service
    auto hidden = test::yard_plan(UnitSystem::us);
    for (auto& outcome : hidden.outcomes) {
        for (auto& one : outcome.by_source) {
            if (auto* trench = std::get_if<TrenchPlan>(&one)) {
                for (auto& crossing : trench->measured.crossings) {
                    crossing.facility_top_elev_m.reset();
                }
            }
        }
    }
    CHECK_FALSE(has(drawn_text(hidden), "W top "));
}

TEST_CASE("a tape site's north is the tape's axis", "[draw]")
{
    auto plan = test::yard_plan(UnitSystem::us);
    CHECK(has(drawn_text(plan), "grid north"));
    plan.site.frame.wkt.clear();
    CHECK(has(drawn_text(plan), "site north: tape axis"));
}

TEST_CASE("a place on the sheet leads back to the place on the site", "[draw]")
{
    const PlanTransform transform{0.03, {31.5, -8.25}, {240, 310}};
    for (const PagePoint& at : {PagePoint{0, 0}, PagePoint{240, 310}, PagePoint{777.5, 12.25}}) {
        const auto again = transform.to_page(transform.to_site(at));
        CHECK(again.x_pt == Approx(at.x_pt).margin(1e-9));
        CHECK(again.y_pt == Approx(at.y_pt).margin(1e-9));
    }
}

TEST_CASE("contours are drawn from a DEM too, and none on level ground", "[draw]")
{
    const auto dem = [](double rise_m) { // a plane over 120 x 120 m, rising northward by rise_m a cell
        Raster raster{
            .cols = 13, .rows = 13, .origin = {-40, -40}, .step_col = {10, 0}, .step_row = {0, 10}, .elev_m = {}};
        for (int cell = 0; cell < 169; ++cell) {
            raster.elev_m.push_back(100 + rise_m * (cell / 13));
        }
        return raster;
    };
    auto plan = test::yard_plan(UnitSystem::us);
    plan.ground = Ground::from_raster(dem(0.2));
    CHECK(has(drawn_text(plan), "ground contour, every "));
    plan.ground = Ground::from_raster(dem(0));
    CHECK_FALSE(has(drawn_text(plan), "ground contour, every "));
}

TEST_CASE("kinds of surface are printed with blanks, whatever their keys look like", "[draw]")
{
    auto plan = test::yard_plan(UnitSystem::us);
    REQUIRE_FALSE(plan.site.surfaces.empty());
    plan.site.surfaces.front().kind = "public_sidewalk";
    const auto text = drawn_text(plan);
    CHECK(has(text, "public sidewalk"));
    CHECK_FALSE(has(text, "public_sidewalk"));
}

TEST_CASE("a trench that joins another says so under its profile, not that it runs to the outlet", "[draw]")
{
    auto plan = test::yard_plan(UnitSystem::us);
    const auto& site = plan.site;
    auto& by = plan.outcomes.front().by_source;
    const std::string to_outlet = "to " + site.outlets[plan.outcomes.front().outlet].name + "\n";
    const auto count = [](const std::string& text, const std::string& part) {
        std::size_t found = 0;
        for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
            ++found;
        }
        return found;
    };
    const auto before = count(drawn_text(plan), "\n" + to_outlet);
    REQUIRE(before >= 2);
    std::get<TrenchPlan>(by.at(1)).joins = Junction{.source = 0, .station_m = 3.048, .at = {}};
    const auto text = drawn_text(plan);
    CHECK(has(text, "joins the trench of " + site.sources[0].id + " at 0+10.00"));
    CHECK(count(text, "\n" + to_outlet) == before - 1);
}

TEST_CASE("the way stations are counted is said once for all profiles", "[draw]")
{
    const auto text = drawn_text(test::yard_plan(UnitSystem::us));
    const std::string said = "0+00 at the outlet";
    const auto first = text.find(said);
    REQUIRE(first != std::string::npos);
    CHECK(text.find(said, first + 1) == std::string::npos);
}

TEST_CASE("a finding is listed once, and not again when the lines at the top say it", "[draw]")
{
    auto plan = test::yard_plan(UnitSystem::us);
    plan.no_marks_for = {"gas"};
    Finding missing;
    missing.severity = Severity::warning;
    missing.text = missing_marks_line(plan.site, plan.no_marks_for);
    Finding permit;
    permit.severity = Severity::note;
    permit.text = "Permit required: apron cut.";
    plan.findings = {missing, permit, permit};
    const auto text = drawn_text(plan);
    CHECK_FALSE(has(text, "Warning: No marks supplied"));
    const auto first = text.find("apron cut");
    REQUIRE(first != std::string::npos);
    CHECK(text.find("apron cut", first + 1) == std::string::npos);
}

TEST_CASE("a street that runs round the block is named where it is street, not in the lot it encloses", "[draw]")
{
    auto plan = test::yard_plan(UnitSystem::us);
    const Ring lot = plan.site.parcel.front().outer;
    const Box around = grown(bounds(lot), 15);
    plan.site.right_of_way = {{.outer = {{around.min_x_m, around.min_y_m},
                                         {around.max_x_m, around.min_y_m},
                                         {around.max_x_m, around.max_y_m},
                                         {around.min_x_m, around.max_y_m}},
                               .holes = {lot}}};
    Canvas canvas(sheet_size);
    draw_sheet(canvas, plan);
    const std::vector<double> lot_dashes{14, 2.5, 3, 2.5, 3, 2.5};
    std::vector<PageBox> lots;
    for (const auto& item : canvas.pages().front()) {
        const auto* stroke = std::get_if<PageStroke>(&item);
        if (stroke != nullptr && stroke->closed && stroke->stroke.dashes_pt == lot_dashes) {
            const auto [left, right] = std::ranges::minmax(stroke->points, {}, &PagePoint::x_pt);
            const auto [top, bottom] = std::ranges::minmax(stroke->points, {}, &PagePoint::y_pt);
            lots.push_back({left.x_pt, top.y_pt, right.x_pt, bottom.y_pt});
        }
    }
    REQUIRE(lots.size() == 1);
    std::vector<PagePoint> names;
    for (const auto& text : canvas.drawn_texts()) {
        if (text.text == "right-of-way") {
            const auto& [a, b, c, d] = text.corners;
            names.push_back({(a.x_pt + b.x_pt + c.x_pt + d.x_pt) / 4, (a.y_pt + b.y_pt + c.y_pt + d.y_pt) / 4});
        }
    }
    REQUIRE(names.size() == 1);
    CHECK_FALSE(inside(lots.front(), names.front()));
}
