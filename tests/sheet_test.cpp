#include "draw_fixture.hpp"
#include "trenchwright/draw/paper.hpp"
#include "trenchwright/draw/plan_sheet.hpp"
#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/bearing.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/checklist.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <set>
#include <string>

using namespace trenchwright;

namespace {

JobPlan planned(const std::string& lot, const std::vector<std::pair<std::string, std::string>>& rules,
                const std::string& outlet = "")
{
    auto job = read_job(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot / "job.toml");
    for (const auto& [key, text] : rules) {
        set_rule(job.rules, key, text);
    }
    job.sheet.outlet = outlet;
    return plan_job(std::move(job));
}

struct DrawnSheets {
    std::vector<DrawnText> texts;
    std::size_t sheets = 0;
    PageSize size;
};

DrawnSheets drawn_sheets(const SheetSet& set)
{
    Canvas canvas(set.paper.size);
    draw_sheets(canvas, set);
    return {canvas.drawn_texts(), canvas.pages().size(), set.paper.size};
}

DrawnSheets drawn_sheets(const JobPlan& plan)
{
    return drawn_sheets(sheet_set(plan));
}

DrawnThings things_on(const JobPlan& plan)
{
    const auto set = sheet_set(plan);
    Canvas canvas(set.paper.size);
    draw_sheets(canvas, set);
    return canvas.things();
}

/// A crew's levels on the drawn outlet's trenches: places 1 ft off to the left, a belly and back-fall 3 in deep in the
/// lower third, the upper end too high, and 30 ft (or a third) in the middle of the longest trench without a level.
std::vector<MeasuredTrench> measured_badly(const JobPlan& plan)
{
    std::vector<MeasuredTrench> all;
    for (const auto* trench : trenches_of(drawn_outlet(plan))) {
        MeasuredTrench one{.trench = trench, .number = all.size() + 1, .inverts = {}};
        const double length_m = trench->measured.quantities.length_m;
        for (const auto& depth : trench->measured.depths) {
            const double share = depth.station_m / length_m;
            if (share > 0.4 && depth.station_m < 0.4 * length_m + std::min(9.2, length_m / 3)) {
                continue;
            }
            const auto on_line = point_at(trench->line.route.line, depth.station_m);
            const double wrong_m = share > 0.2 && share < 0.3 ? -0.076 : share > 0.9 ? 0.1 : 0;
            one.inverts.push_back(
                {.station_m = depth.station_m,
                 .invert_elev_m = depth.invert_elev_m + wrong_m,
                 .at = share > 0.7 ? std::nullopt : std::optional(Point{on_line.x_m, on_line.y_m + 0.4})});
        }
        all.push_back(std::move(one));
    }
    return all;
}

std::string all_text(const DrawnSheets& drawn)
{
    std::string all;
    for (const auto& one : drawn.texts) {
        all += one.text + "\n";
    }
    return all;
}

bool has(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

/// The box of the letters themselves: a line's own leading may touch the next line's.
std::array<PagePoint, 4> tight(const DrawnText& text)
{
    auto corners = text.corners;
    const PagePoint middle{(corners[0].x_pt + corners[2].x_pt) / 2, (corners[0].y_pt + corners[2].y_pt) / 2};
    for (auto& corner : corners) {
        corner.x_pt += (middle.x_pt - corner.x_pt) * 0.02;
        corner.y_pt += (middle.y_pt - corner.y_pt) * 0.02;
    }
    return corners;
}

std::string overlaps(const DrawnSheets& drawn)
{
    std::string found;
    for (std::size_t i = 0; i < drawn.texts.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            const auto& a = drawn.texts[i];
            const auto& b = drawn.texts[j];
            if (a.page == b.page && overlap(tight(a), tight(b))) {
                found += "sheet " + std::to_string(a.page + 1) + ": \"" + a.text + "\" on \"" + b.text + "\"\n";
            }
        }
    }
    return found;
}

} // namespace

TEST_CASE("every sheet says for which utilities no marks are supplied, for sheets are parted", "[sheet]")
{
    const auto* const paper = GENERATE("letter", "tabloid", "a4", "a3");
    const auto drawn = drawn_sheets(planned("quillet-lane", {{"sheet.paper", paper}})); // it lacks the storm sewers'
    const auto says = [](const DrawnText& one) {
        return one.text.find("not permission to dig. No marks supplied for: storm sewer.") != std::string::npos;
    };
    CHECK(static_cast<std::size_t>(std::ranges::count_if(drawn.texts, says)) == drawn.sheets);
}

TEST_CASE("no text on a sheet overlaps another, at three lots, on four papers and at every outlet", "[sheet]")
{
    const auto* const paper = GENERATE("letter", "tabloid", "a4", "a3");
    for (const auto& [lot, outlet] : {std::pair{"quillet-lane", "curb"}, std::pair{"quillet-lane", ""},
                                      std::pair{"brinkholt", ""}, std::pair{"tape", ""}}) {
        const auto plan = planned(lot, {{"sheet.paper", paper}}, outlet);
        INFO(lot << " on " << paper);
        CHECK(overlaps(drawn_sheets(plan)) == "");
    }
}

TEST_CASE("no text of a record overlaps another, at three lots and in both unit systems", "[sheet]")
{
    const auto* const units = GENERATE("us", "metric");
    const auto* const paper = GENERATE("by units", "letter");
    for (const auto& [lot, outlet] :
         {std::pair{"quillet-lane", "curb"}, std::pair{"brinkholt", "ditch"}, std::pair{"tape", "swale"}}) {
        auto plan = planned(lot, {{"sheet.paper", paper}, {"print.units", units}}, outlet);
        INFO(lot << " in " << units << " on " << paper);
        const auto measured = measured_badly(plan);
        const auto drawn = drawn_sheets(record_set(plan, measured));
        CHECK(overlaps(drawn) == "");
        const auto text = all_text(drawn);
        CHECK(has(text, "Record of the drain as laid"));
        CHECK(has(text, "back-fall"));
        CHECK(has(text, "belly"));
        CHECK(has(text, "says nothing of what lies between them"));
        for (const auto& caution : cautions()) {
            CHECK(has(text, caution));
        }
    }
}

TEST_CASE("a record has every measured invert and says which stretches were not measured", "[sheet]")
{
    const auto plan = planned("quillet-lane", {}, "curb");
    const auto measured = measured_badly(plan);
    const auto drawn = drawn_sheets(record_set(plan, measured));
    const auto text = all_text(drawn);
    for (const auto& one : measured) {
        for (const auto& level : one.inverts) {
            const auto feet = elev_text(level.invert_elev_m, UnitSystem::us);
            CHECK(has(text, feet.substr(0, feet.find(' ')) + "\n"));
            CHECK(has(text, station_text(level.station_m, UnitSystem::us) + "\n"));
        }
    }
    CHECK(has(text, "not measured\n"));
    CHECK_FALSE(has(text, "Hand-dig zones")); // the plan's work is over
    const std::vector<MeasuredTrench> nothing{
        {.trench = measured[0].trench, .number = 1, .inverts = {}},
        {.trench = measured[1].trench, .number = 2, .inverts = {}},
        {.trench = measured[2].trench,
         .number = 3,
         .inverts = {{0, measured[2].trench->laid.profile.points[0].invert_elev_m}}}};
    const auto bare = all_text(drawn_sheets(record_set(plan, nothing)));
    CHECK_FALSE(has(bare, "pipe as laid, straight"));
    CHECK(has(bare, "not measured\n"));
}

TEST_CASE("a table broken over columns repeats its head in each", "[sheet]")
{
    Canvas canvas({.width_pt = 400, .height_pt = 100});
    ColumnText column(canvas, 90);
    std::vector<std::vector<std::string>> rows{{"Station", "Laid"}};
    for (int i = 0; i < 40; ++i) {
        rows.push_back({std::to_string(i), "x"});
    }
    column.heading("Levels");
    column.table(rows, {0.5, 0.5});
    const auto pieces = column.take();
    std::size_t next = 0;
    std::size_t columns = 0;
    for (; next < pieces.size(); ++columns) {
        const double left = 100.0 * static_cast<double>(columns);
        next = draw_column(canvas, pieces, next, {left, 0, left + 90, 100});
    }
    CHECK(columns > 3);
    const auto& texts = canvas.drawn_texts();
    CHECK(std::ranges::count(texts, "Station", &DrawnText::text) == static_cast<std::ptrdiff_t>(columns));
    for (int i = 0; i < 40; ++i) {
        CHECK(std::ranges::count(texts, std::to_string(i), &DrawnText::text) == 1);
    }
    for (const auto& text : canvas.drawn_texts()) {
        CHECK(text.corners[2].y_pt <= 101);
    }
}

TEST_CASE("no word of a table is broken within itself while other columns have room", "[sheet]")
{
    Canvas canvas({.width_pt = 400, .height_pt = 400});
    ColumnText column(canvas, 120);
    // The first column is asked to be far too narrow for its head, the second far wider than its words.
    column.table({{"Station", "Fitting"}, {"0+12.34", "wye"}}, {0.05, 0.95});
    const auto pieces = column.take();
    draw_column(canvas, pieces, 0, {0, 0, 120, 400});
    for (const auto& text : canvas.drawn_texts()) {
        const double height_pt = text.corners[2].y_pt - text.corners[0].y_pt;
        INFO(text.text);
        CHECK(height_pt < 1.5 * canvas.text_size("Ag", {.size_pt = 6.6}).height_pt); // one line
    }
}

TEST_CASE("every grade break of a crowded profile shows its invert to the hundredth of a foot", "[sheet]")
{
    auto plan = planned("tape", {}, "yard");
    const auto outcome =
        std::ranges::find_if(plan.outcomes, [&](const auto& one) { return &one == drawn_outlet(plan); });
    auto& trench = std::get<TrenchPlan>(outcome->by_source[0]);
    auto& points = trench.laid.profile.points;
    const auto low = points.front();
    const auto high = points.back();
    points = {low};
    for (int i = 1; i <= 30; ++i) { // a break every 50 mm, 0.02 ft higher each
        points.push_back({low.station_m + 0.05 * i, low.invert_elev_m + 0.006096 * i});
    }
    points.push_back(high);
    const auto drawn = drawn_sheets(plan);
    const auto text = all_text(drawn);
    CHECK(has(text, "Inverts in the profiles"));
    CHECK(overlaps(drawn) == "");
    for (const auto& point : points) {
        const auto feet = elev_text(point.invert_elev_m, UnitSystem::us);
        CHECK(has(text, feet.substr(0, feet.find(" "))));
    }
}

TEST_CASE("a drain that does not fit one sheet goes on over match lines, and its labels do not overlap either",
          "[sheet]")
{
    const auto plan = planned("quillet-lane", {{"sheet.paper", "letter"}, {"sheet.plan_scales_us", "5"}}, "inlet");
    const auto drawn = drawn_sheets(plan);
    const auto text = all_text(drawn);
    CHECK(drawn.sheets > 3);
    CHECK(has(text, "Match line, see sheet 2"));
    CHECK(has(text, "match line 0+"));
    CHECK(overlaps(drawn) == "");
    // Every station named at a cut is named once on each side of it.
    std::multiset<std::string> cuts;
    for (const auto& one : drawn.texts) {
        if (one.text.starts_with("match line")) {
            cuts.insert(one.text);
        }
    }
    for (const auto& cut : cuts) {
        CHECK(cuts.count(cut) == 2);
    }
}

TEST_CASE("no label of the plan lies on a trench", "[sheet]")
{
    const auto plan = planned("quillet-lane", {});
    const auto set = sheet_set(plan);
    Canvas canvas(set.paper.size);
    const auto room = sheet_room(set.paper);
    const auto tiles = plan_tiles(set, room.drawing);
    Legend legend;
    draw_sheet_plan(canvas, set, tiles, 0, room.drawing, legend);
    auto frame = room.drawing;
    frame.bottom_pt -= plan_strip_pt;
    const PlanTransform transform{tiles.scale.meters_per_pt, tiles.tiles[0].center, frame.center()};
    std::size_t checked = 0;
    for (const auto* trench : set.trenches) {
        for (std::size_t i = 1; i < trench->line.route.line.size(); ++i) {
            const auto a = transform.to_page(trench->line.route.line[i - 1]);
            const auto b = transform.to_page(trench->line.route.line[i]);
            for (const auto& label : canvas.drawn_texts()) {
                const bool symbol = label.text == "D" || label.text == "P"; // stand where the trench ends
                const PageBox box{label.corners[0].x_pt, label.corners[0].y_pt, label.corners[2].x_pt,
                                  label.corners[2].y_pt};
                INFO(label.text);
                CHECK((symbol || label.corners[0].y_pt != label.corners[1].y_pt || !meets(box, a, b)));
                ++checked;
            }
        }
    }
    CHECK(checked > 100);
}

TEST_CASE("a sheet is as large as its paper, in points of 1/72 in", "[sheet]")
{
    // ANSI/ASME Y14.1: A 11 x 8.5 in, B 17 x 11 in. ISO 216: A4 297 x 210 mm, A3 420 x 297 mm.
    auto rules = default_rules();
    const auto size_of = [&](const std::string& paper) {
        set_rule(rules, "sheet.paper", paper);
        return paper_of(rules).size;
    };
    CHECK(size_of("letter").width_pt == Approx(11 * 72));
    CHECK(size_of("letter").height_pt == Approx(8.5 * 72));
    CHECK(size_of("tabloid").width_pt == Approx(17 * 72));
    CHECK(size_of("tabloid").height_pt == Approx(11 * 72));
    CHECK(size_of("a4").width_pt == Approx(297 / 25.4 * 72));
    CHECK(size_of("a4").height_pt == Approx(210 / 25.4 * 72));
    CHECK(size_of("a3").width_pt == Approx(420 / 25.4 * 72));
    CHECK(size_of("by units").width_pt == Approx(17 * 72));
    set_rule(rules, "print.units", "metric");
    CHECK(paper_of(rules).size.width_pt == Approx(420 / 25.4 * 72));
}

TEST_CASE("bearings are written from north or south to the second", "[sheet]")
{
    const auto towards = [](double azimuth_deg) {
        const double a = azimuth_deg * std::numbers::pi / 180;
        return quadrant_bearing({10, 20}, {10 + 50 * std::sin(a), 20 + 50 * std::cos(a)});
    };
    // Azimuth to bearing, the surveyor's rule: NE as it is, SE 180 - A, SW A - 180, NW 360 - A.
    CHECK(towards(30) == "N 30°00'00\" E");
    CHECK(towards(150) == "S 30°00'00\" E");
    CHECK(towards(200.5) == "S 20°30'00\" W");
    CHECK(towards(300) == "N 60°00'00\" W");
    CHECK(towards(12 + 34 / 60.0 + 56 / 3600.0) == "N 12°34'56\" E");
    CHECK(towards(44.999999) == "N 45°00'00\" E"); // 59.996" is a whole minute, never 60"
    CHECK(quadrant_bearing({0, 0}, {5, 0}) == "N 90°00'00\" E");
    CHECK(quadrant_bearing({0, 0}, {0, -5}) == "S 00°00'00\" E");
}

TEST_CASE("the bearings and distances on the sheet close the lot", "[sheet]")
{
    // Latitudes and departures of a closed traverse add up to nothing.
    const auto drawn = drawn_sheets(planned("quillet-lane", {}));
    double north = 0;
    double east = 0;
    int lines = 0;
    for (const auto& one : drawn.texts) {
        char ns = 0;
        char ew = 0;
        int deg = 0;
        int min = 0;
        int sec = 0;
        double length = 0;
        if (std::sscanf(one.text.c_str(), "%c %d°%d'%d\" %c   %lf ft", &ns, &deg, &min, &sec, &ew, &length) == 6) {
            const double a = (deg + min / 60.0 + sec / 3600.0) * std::numbers::pi / 180;
            north += length * std::cos(a) * (ns == 'N' ? 1 : -1);
            east += length * std::sin(a) * (ew == 'E' ? 1 : -1);
            ++lines;
        }
    }
    CHECK(lines == 4);
    CHECK(north == Approx(0).margin(0.02));
    CHECK(east == Approx(0).margin(0.02));
}

TEST_CASE("the same plan gives the same PDF, with no clock in it", "[sheet]")
{
    const auto plan = planned("tape", {});
    const auto pdf = sheet_files(plan).pdf.bytes;
    CHECK(pdf.starts_with("%PDF-"));
    CHECK_FALSE(has(pdf, "CreationDate"));
    CHECK_FALSE(has(pdf, "ModDate"));
    CHECK(sheet_files(plan).pdf.bytes == pdf);
    CHECK(has(pdf, "/MediaBox [ 0 0 1224 792 ]")); // ISO 32000-1, 7.7.3.3; tabloid
}

TEST_CASE("every caution stands on the sheets word for word, and no sheet says safe or clear", "[sheet]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt", "tape");
    const auto text = all_text(drawn_sheets(planned(lot, {})));
    for (const auto& caution : cautions()) {
        CHECK(has(text, caution));
    }
    std::string word;
    for (const char c : text + " ") {
        if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
            word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        } else {
            CHECK(word != "safe");
            CHECK(word != "safely");
            CHECK(word != "clear");
            word.clear();
        }
    }
}

TEST_CASE("the sheet is drawn for the outlet the office names", "[sheet]")
{
    const auto plan = planned("quillet-lane", {}, "curb");
    const auto text = all_text(drawn_sheets(plan));
    CHECK(has(text, "To Curb, Quillet Lane"));
    CHECK(has(text, "curb top 646.95 ft")); // as the outlet's record has it
    CHECK(has(text, "gutter 646.45 ft"));
    CHECK_FALSE(has(text, "Pop-up, front yard"));
    CHECK_THROWS_WITH(drawn_outlet(planned("tape", {}, "nowhere")), Catch::Matchers::Contains("no outlet has this id"));
}

TEST_CASE("a refused outlet that the office names is drawn with what it lacks and with nothing to dig", "[sheet]")
{
    const auto plan = planned("quillet-lane", {}, "swale");
    CHECK(drawn_outlet(plan) == nullptr);
    REQUIRE(drawn_refusal(plan) != nullptr);
    CHECK(plan.site.outlets[drawn_refusal(plan)->outlet].id == "swale");
    const auto text = all_text(drawn_sheets(plan));
    CHECK(has(text, "To Swale, rear lot line: not workable"));
    CHECK(has(text, "Do not dig from this sheet"));
    CHECK(has(text, "fall short by"));
    CHECK(has(text, "What would make it work"));
    CHECK(has(text, "line that comes nearest; not to be dug"));
    CHECK_FALSE(has(text, "Profile"));
}

TEST_CASE("where no workable outlet the sheet says so and has no profile", "[sheet]")
{
    auto plan = test::refused_plan();
    plan.job.rules.papers = default_rules().papers;
    const auto text = all_text(drawn_sheets(plan));
    CHECK(has(text, "No workable outlet"));
    CHECK_FALSE(has(text, "Profile"));
}

TEST_CASE("only accepted scales are stated", "[sheet]")
{
    const auto* const paper = GENERATE("letter", "tabloid", "a4", "a3");
    const auto text = all_text(drawn_sheets(planned("quillet-lane", {{"sheet.paper", paper}})));
    bool stated = false;
    for (const auto* const scale : {"10", "20", "30", "40", "50"}) {
        stated = stated || has(text, std::string("Plan 1 in = ") + scale + " ft\n");
    }
    CHECK(stated);
    auto rules = default_rules();
    for (const auto* const bad : {"", "20, 10", "0", "ten", "10,, 20", "nan", "10 20", "-5"}) {
        CHECK_THROWS(set_rule(rules, "sheet.plan_scales_us", bad));
    }
}

TEST_CASE("the checklist names what the sheet lacks", "[sheet]")
{
    auto plan = planned("tape", {});
    const auto lacks = [&] { return lacking(checklist(plan, drawn_outlet(plan), things_on(plan))); };
    const auto missing = [&](const std::string& words) {
        const auto all = lacks();
        return std::ranges::find(all, words) != all.end();
    };
    CHECK(missing("benchmark and datum"));
    plan.job.sheet.benchmark = "porch step 100.00 ft";
    CHECK(missing("benchmark and datum")); // one of the two is not both
    plan.job.sheet.datum = "assumed";
    CHECK_FALSE(missing("benchmark and datum"));
    CHECK(missing("site address"));
    set_rule(plan.job.rules, "checklist.address", "no");
    CHECK_FALSE(missing("site address"));
    CHECK(missing("vicinity map"));
    plan.job.sheet.elsewhere["vicinity_map"] = "letter, page 2";
    CHECK_FALSE(missing("vicinity map"));
    CHECK_FALSE(missing("profile"));
    CHECK(missing("easements"));
    plan.site.easements.push_back({.id = "strip", .place = Polyline{{0, 0}, {2, 9}}, .holder = "", .origin = {}});
    CHECK_FALSE(missing("easements"));
}
