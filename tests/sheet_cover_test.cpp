#include "trenchwright/draw/cover_page.hpp"
#include "trenchwright/draw/plan_sheet.hpp"
#include "trenchwright/draw/sheet.hpp"
#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/report/checklist.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

JobPlan planned(const std::string& lot, const std::vector<std::pair<std::string, std::string>>& rules = {},
                const std::string& outlet = "")
{
    auto job = read_job(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot / "job.toml");
    for (const auto& [key, text] : rules) {
        set_rule(job.rules, key, text);
    }
    job.sheet.outlet = outlet;
    return plan_job(std::move(job));
}

std::string text_on(const Canvas& canvas)
{
    std::string all;
    for (const auto& one : canvas.drawn_texts()) {
        all += one.text + "\n";
    }
    return all;
}

struct Sheets {
    DrawnThings shown;
    std::string text;
};

Sheets sheets_of(const JobPlan& plan)
{
    const auto set = sheet_set(plan);
    Canvas canvas(set.paper.size);
    draw_sheets(canvas, set);
    return {canvas.things(), text_on(canvas)};
}

ChecklistLine line_of(const JobPlan& plan, const DrawnThings& shown, const std::string& key)
{
    const auto lines = checklist(plan, drawn_outlet(plan), shown);
    const auto found = std::ranges::find_if(lines, [&](const ChecklistLine& line) { return line.item->key == key; });
    REQUIRE(found != lines.end());
    return *found;
}

/// Whether a convex quadrilateral holds a place: it lies on the same side of all its edges.
bool holds(const std::array<Point, 4>& quad, const Point& p)
{
    int left = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        const auto& a = quad.at(i);
        const auto& b = quad.at((i + 1) % 4);
        left += (b.x_m - a.x_m) * (p.y_m - a.y_m) > (b.y_m - a.y_m) * (p.x_m - a.x_m) ? 1 : 0;
    }
    return left == 0 || left == 4;
}

} // namespace

TEST_CASE("the cover ticks nothing of sheets on which nothing was drawn", "[cover]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt", "tape");
    const auto plan = planned(lot);
    for (const auto& line : checklist(plan, drawn_outlet(plan), DrawnThings{})) {
        INFO(lot << ": " << line.item->words << ": " << line.text);
        CHECK_FALSE(line.filled);
    }
    CHECK(line_of(plan, {}, "scale").text == "known, not on the sheets");
}

TEST_CASE("what the job states in words is ticked because it stands on the sheets", "[cover]")
{
    const auto* const units = GENERATE("us", "metric");
    const auto* const paper = GENERATE("letter", "a3");
    const auto plan = planned("quillet-lane", {{"sheet.paper", paper}, {"print.units", units}});
    const auto sheets = sheets_of(plan);
    const auto& record = plan.job.sheet;
    // The job states its benchmark in feet; the sheet says in which unit its own heights are.
    CHECK_THAT(sheets.text,
               Contains(std::string(units) == "us" ? "Heights drawn are in feet" : "Heights drawn are in meters"));
    for (const auto& [key, words] : {std::pair{"start", record.start}, std::pair{"restoration", record.restoration},
                                     std::pair{"address", record.address}, std::pair{"one_call", record.one_call},
                                     std::pair{"legal", record.legal}, std::pair{"benchmark", record.benchmark},
                                     std::pair{"floor", elev_text(*plan.job.floor_elev_m, plan.job.rules.units)}}) {
        INFO(key << " in " << units << " on " << paper);
        CHECK(line_of(plan, sheets.shown, key).filled);
        CHECK_THAT(sheets.text, Contains(words));
    }
}

TEST_CASE("what lies outside the frames is known, and not on the sheets", "[cover]")
{
    // At 1 in = 10 ft on letter only the plans along the drain are drawn: the rear of the lot is on none.
    const auto plan = planned("quillet-lane", {{"sheet.paper", "letter"}, {"sheet.plan_scales_us", "10"}});
    const auto files = sheet_files(plan);
    const auto on_a_plan = [&](const Point& at) {
        return std::ranges::any_of(files.pdf.plans, [&](const auto& one) { return holds(one.corners, at); });
    };
    std::size_t trees = 0;
    for (const auto& tree : plan.site.trees) {
        trees += on_a_plan(tree.at) ? 1 : 0;
    }
    REQUIRE(trees < plan.site.trees.size());
    CHECK_FALSE(line_of(plan, files.shown, "trees").filled);
    const auto easement = line_of(plan, files.shown, "easements");
    CHECK_FALSE(easement.filled);
    CHECK(easement.text == "known, not on the sheets: 1 easement");
    CHECK_FALSE(line_of(plan, files.shown, "lot_lines").filled);
    CHECK(line_of(plan, files.shown, "profile").filled);
    const auto missing = lacking(checklist(plan, drawn_outlet(plan), files.shown));
    CHECK(std::ranges::count(missing, "easements (known, not on the sheets: 1 easement)") == 1);
    Canvas cover({.width_pt = 612, .height_pt = 792});
    draw_cover(cover, plan, files.shown);
    CHECK_THAT(text_on(cover), Contains("known, not on the sheets: 1 easement"));
}

TEST_CASE("the ground of adjoining lots is on the sheets where shots taken there are", "[cover]")
{
    const auto plan = planned("quillet-lane");
    const auto sheets = sheets_of(plan);
    std::size_t next_door = 0;
    for (const auto& spot : plan.site.spots) {
        const auto on = [&](const Polygon& lot) { return contains(lot, spot.at); };
        next_door += std::ranges::any_of(plan.site.neighbors, on) ? 1 : 0;
    }
    REQUIRE(next_door > 0);
    CHECK(line_of(plan, sheets.shown, "adjoining").filled);
    CHECK_FALSE(line_of(planned("tape"), sheets_of(planned("tape")).shown, "adjoining").filled); // no lot next door
}

TEST_CASE("the cover says which utilities have no marks", "[cover]")
{
    auto plan = planned("quillet-lane");
    plan.no_marks_for = {"gas", "storm sewer"};
    const auto shown = sheets_of(plan).shown;
    const auto some = line_of(plan, shown, "utilities");
    CHECK(some.filled);
    CHECK_THAT(some.text, Contains("no marks supplied for: gas, storm sewer"));
    plan.site.marks.clear();
    const auto none = line_of(plan, DrawnThings{}, "utilities");
    CHECK_FALSE(none.filled);
    CHECK(none.text == "no marks supplied for: gas, storm sewer");
}

TEST_CASE("the whole lot is on one plan wherever an accepted scale lets it", "[cover]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt", "tape");
    auto plan = planned(lot);
    for (const auto* const units : {"us", "metric"}) {
        for (const auto* const paper : {"letter", "a4", "tabloid", "a3"}) {
            for (const auto* const turn : {"north up", "along the trench"}) {
                set_rule(plan.job.rules, "print.units", units);
                set_rule(plan.job.rules, "sheet.paper", paper);
                set_rule(plan.job.rules, "sheet.turn", turn);
                const auto set = sheet_set(plan);
                INFO(lot << " in " << units << " on " << paper << ", " << turn);
                Canvas canvas(set.paper.size);
                const auto plans = draw_sheets(canvas, set);
                REQUIRE(plans.size() == 1);
                for (const auto& parcel : plan.site.parcel) {
                    for (const auto& corner : parcel.outer) {
                        CHECK(holds(plans[0].corners, corner));
                    }
                }
            }
        }
    }
}

TEST_CASE("no setting is named on a sheet", "[cover]")
{
    for (const auto& [lot, outlet] :
         {std::pair{"quillet-lane", "curb"}, std::pair{"quillet-lane", "inlet"}, std::pair{"quillet-lane", ""},
          std::pair{"brinkholt", ""}, std::pair{"tape", ""}}) {
        const auto text = sheets_of(planned(lot, {}, outlet)).text;
        for (const auto& setting : settings()) {
            INFO(lot << " " << outlet << ": " << setting.key);
            CHECK(text.find(setting.key) == std::string::npos);
        }
        CHECK_THAT(text, !Contains("plan again"));
    }
}

TEST_CASE("the overview shows the outlet that all papers show, and says which", "[cover]")
{
    const auto* const outlet = GENERATE("curb", "inlet", "front-yard");
    const auto plan = planned("quillet-lane", {}, outlet);
    const auto* drawn = drawn_outlet(plan);
    REQUIRE(plan.site.outlets[drawn->outlet].id == outlet);
    const auto& name = plan.site.outlets[drawn->outlet].name;
    const std::array<const char*, 4> places{"first", "second", "third", "fourth"};
    const auto rank = static_cast<std::size_t>(
        std::ranges::find_if(plan.outcomes, [&](const auto& one) { return &one == drawn; }) - plan.outcomes.begin());
    Canvas canvas(sheet_size);
    draw_sheet(canvas, plan);
    const auto text = text_on(canvas);
    CHECK_THAT(text, Contains("Shown: " + name + ", " + places.at(rank) + " in the ranking\n"));
    CHECK_THAT(text, Contains("To dig and haul for " + name + "\n"));
    CHECK_THAT(text, Contains("\nto " + name + "\n")); // of the profile
    const auto other = std::string(outlet) == "curb" ? "inlet" : "curb";
    const auto is_other = [&](const Outlet& one) { return one.id == other; };
    const auto& other_name = std::ranges::find_if(plan.site.outlets, is_other)->name;
    CHECK_THAT(text, !Contains("\nto " + other_name + "\n"));
}

TEST_CASE("the demo lot's sheets lack only what its job says nothing of", "[sheet]")
{
    // Of the items of the checklist the job states neither a detour nor a map of the vicinity; all others it supplies.
    const auto plan = planned("quillet-lane");
    const auto shown = sheets_of(plan).shown;
    std::vector<std::string> missing;
    for (const auto& line : checklist(plan, drawn_outlet(plan), shown)) {
        if (!line.filled) {
            missing.emplace_back(line.item->key);
        }
    }
    std::ranges::sort(missing);
    CHECK(missing == std::vector<std::string>{"traffic", "vicinity_map"});
    CHECK_THAT(line_of(plan, shown, "surfaces").text, Contains("8 surfaces"));
}
