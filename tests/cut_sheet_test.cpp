#include "trenchwright/draw/cut_sheet_pages.hpp"
#include "trenchwright/draw/paper.hpp"
#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/export/crew_page.hpp"
#include "trenchwright/export/csv.hpp"
#include "trenchwright/export/cut_sheet_csv.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <sstream>
#include <string>
#include <vector>

using namespace trenchwright;

namespace {

JobPlan planned(const std::string& lot, const std::string& outlet = "")
{
    auto job = read_job(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot / "job.toml");
    job.sheet.outlet = outlet;
    return plan_job(std::move(job));
}

std::vector<CutSheet> sheets_of(const JobPlan& plan)
{
    return cut_sheets(plan, *drawn_outlet(plan));
}

/// Rows of a comma-separated text by RFC 4180, each by its column's name.
std::vector<std::map<std::string, std::string>> csv_rows(const std::string& text)
{
    std::vector<std::vector<std::string>> rows{{""}};
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '"' && quoted && i + 1 < text.size() && text[i + 1] == '"') {
            rows.back().back() += text[++i];
        } else if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            rows.back().emplace_back();
        } else if (c == '\n' && !quoted) {
            rows.push_back({""});
        } else if (c != '\r') {
            rows.back().back() += c;
        }
    }
    std::vector<std::map<std::string, std::string>> named;
    for (std::size_t i = 1; i + 1 < rows.size(); ++i) {
        REQUIRE(rows[i].size() == rows[0].size());
        named.emplace_back();
        for (std::size_t j = 0; j < rows[0].size(); ++j) {
            named.back()[rows[0][j]] = rows[i][j];
        }
    }
    return named;
}

} // namespace

TEST_CASE("the Navy manual's cut sheet comes out as printed", "[cut sheet]")
{
    // NAVEDTRA 14070 (Engineering Aid), figure 10-24: invert 122.87 ft at 9+00
    // on 2.18 %; at 8+50 it is 121.78; hubs of 126.94 and 127.33 ft give C 4.07 and C 5.55.
    const double at_900_m = 122.87 * ft_in_m;
    const double at_800_m = at_900_m - 0.0218 * 100 * ft_in_m;
    const std::vector<GradePoint> grade{{800 * ft_in_m, at_800_m}, {900 * ft_in_m, at_900_m}};
    const double at_850_m = invert_at_m(grade, 850 * ft_in_m);
    CHECK(elev_text(at_850_m, UnitSystem::us) == "121.78 ft");
    CHECK(hub_text(126.94 * ft_in_m, at_900_m, UnitSystem::us) == "C 4.07");
    CHECK(hub_text(127.33 * ft_in_m, at_850_m, UnitSystem::us) == "C 5.55");
    CHECK(hub_text(121.50 * ft_in_m, at_900_m, UnitSystem::us) == "F 1.37"); // 122.87 - 121.50: fill
}

TEST_CASE("a hub in the job comes out in its row as cut down to the invert", "[cut sheet]")
{
    auto plan = planned("tape");
    const auto source = plan.site.sources[trenches_of(drawn_outlet(plan)).front()->source].id;
    plan.job.cut_sheet.hubs = {{.source = source, .station_m = 2.345, .top_elev_m = 31}};
    const auto sheets = sheets_of(plan);
    const auto& rows = sheets.front().rows;
    const auto row = std::ranges::find_if(rows, [](const CutRow& one) { return one.hub_top_elev_m.has_value(); });
    REQUIRE(row != rows.end());
    CHECK(row->station_m == Approx(2.345));
    // The pipe is straight between its grade points: by proportion.
    const auto& points = sheets.front().trench->laid.profile.points;
    const auto upper = std::ranges::find_if(points, [](const GradePoint& p) { return p.station_m >= 2.345; });
    const auto& lower = *std::prev(upper);
    const double share = (2.345 - lower.station_m) / (upper->station_m - lower.station_m);
    CHECK(row->invert_elev_m ==
          Approx(lower.invert_elev_m + share * (upper->invert_elev_m - lower.invert_elev_m)).epsilon(1e-12));

    plan.job.cut_sheet.hubs = {{.source = "nobody", .station_m = 1, .top_elev_m = 31}};
    CHECK_THROWS_WITH(sheets_of(plan), Catch::Matchers::Contains("has no trench here"));
    plan.job.cut_sheet.hubs = {{.source = source, .station_m = 500, .top_elev_m = 31}};
    CHECK_THROWS_WITH(sheets_of(plan), Catch::Matchers::Contains("lies beyond"));
}

TEST_CASE("rod, cut, cover and slope agree with each other in every row", "[cut sheet]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt", "tape");
    auto plan = planned(lot);
    plan.job.cut_sheet.instrument_elev_m = 210;
    for (const auto& sheet : sheets_of(plan)) {
        const auto& pipe = sheet.trench->laid.problem.section;
        for (std::size_t i = 0; i < sheet.rows.size(); ++i) {
            const auto& row = sheet.rows[i];
            // Height of instrument less rod is the height the rod stands on: the rod's definition.
            CHECK(210 - *row.rod_bottom_m == Approx(row.ground_elev_m - row.cut_m).epsilon(1e-12));
            CHECK(*row.rod_bottom_m - *row.rod_invert_m == Approx(pipe.wall_m + pipe.bedding_m).epsilon(1e-9));
            CHECK(row.cut_m - row.cover_m == Approx(pipe.outside_diameter_m + pipe.bedding_m).epsilon(1e-9));
            if (i + 1 < sheet.rows.size()) {
                const auto& next = sheet.rows[i + 1];
                CHECK(row.invert_elev_m + *row.fall_to_next_ratio * (next.station_m - row.station_m) ==
                      Approx(next.invert_elev_m).epsilon(1e-12));
                CHECK(next.station_m > row.station_m);
            } else {
                CHECK_FALSE(row.fall_to_next_ratio);
            }
        }
        CHECK(sheet.rows.back().station_m == Approx(sheet.trench->measured.quantities.length_m));
    }
}

TEST_CASE("two tapes and the drawing's side find each station again", "[cut sheet]")
{
    // Intersection of two circles, by the law of cosines; one of the two meets is the station.
    const auto plan = planned("quillet-lane");
    std::map<std::string, Point> corners;
    for (const auto& corner : tape_corners(plan.site.foundations, plan.job.rules.ties)) {
        corners[corner.name] = corner.at;
    }
    std::size_t found = 0;
    for (const auto& sheet : sheets_of(plan)) {
        for (const auto& row : sheet.rows) {
            if (row.ties.ties.size() < 2) {
                continue;
            }
            const auto a = corners.at(row.ties.ties[0].corner);
            const auto b = corners.at(row.ties.ties[1].corner);
            const double ra = row.ties.ties[0].length_m;
            const double rb = row.ties.ties[1].length_m;
            const double ab = std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
            const double along = (ra * ra - rb * rb + ab * ab) / (2 * ab);
            const double off = std::sqrt(std::max(ra * ra - along * along, 0.0));
            const Point u{(b.x_m - a.x_m) / ab, (b.y_m - a.y_m) / ab};
            const auto miss = [&](double side) {
                return std::hypot(a.x_m + u.x_m * along - u.y_m * off * side - row.at.x_m,
                                  a.y_m + u.y_m * along + u.x_m * off * side - row.at.y_m);
            };
            CHECK(std::min(miss(1), miss(-1)) < 1e-6);
            ++found;
        }
    }
    CHECK(found > 20);
}

TEST_CASE("a station is dug by hand wherever it lies within a mark's reach, by distance", "[cut sheet]")
{
    std::size_t by_hand = 0;
    for (const std::string outlet : {"curb", "inlet"}) {
        const auto plan = planned("quillet-lane", outlet);
        for (const auto& sheet : sheets_of(plan)) {
            for (const auto& row : sheet.rows) {
                for (const auto& mark : plan.site.marks) {
                    double nearest = 1e9;
                    for (std::size_t i = 1; i < mark.line.size(); ++i) { // distance to a segment, by projection
                        const auto& a = mark.line[i - 1];
                        const auto& b = mark.line[i];
                        const double dx = b.x_m - a.x_m;
                        const double dy = b.y_m - a.y_m;
                        const double t = std::clamp(
                            ((row.at.x_m - a.x_m) * dx + (row.at.y_m - a.y_m) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
                        nearest =
                            std::min(nearest, std::hypot(a.x_m + t * dx - row.at.x_m, a.y_m + t * dy - row.at.y_m));
                    }
                    const double reach = mark.width_m.value_or(0) / 2 + plan.job.rules.route.tolerance_m +
                                         mark.position_accuracy_m.value_or(0);
                    if (nearest <= reach) {
                        CHECK(row.by_hand);
                        ++by_hand;
                    }
                }
            }
        }
    }
    CHECK(by_hand > 10);
}

TEST_CASE("branches come after what they join, and each junction stands in both sheets", "[cut sheet]")
{
    const auto plan = planned("quillet-lane", "curb");
    const auto sheets = sheets_of(plan);
    std::vector<std::size_t> dug;
    bool joined = false;
    for (const auto& sheet : sheets) {
        if (sheet.trench->joins) {
            joined = true;
            CHECK(std::ranges::find(dug, sheet.trench->joins->source) != dug.end());
            const auto trunk = std::ranges::find_if(
                sheets, [&](const CutSheet& one) { return one.trench->source == sheet.trench->joins->source; });
            const auto at = std::ranges::find_if(trunk->rows, [&](const CutRow& row) {
                return row.fitting.find("wye of trench " + std::to_string(sheet.number)) != std::string::npos;
            });
            REQUIRE(at != trunk->rows.end());
            CHECK(std::hypot(at->at.x_m - sheet.rows.front().at.x_m, at->at.y_m - sheet.rows.front().at.y_m) < 1e-6);
        }
        dug.push_back(sheet.trench->source);
    }
    CHECK(joined);
}

TEST_CASE("the csv holds every row, both spellings of a length and every caution", "[cut sheet]")
{
    const auto plan = planned("quillet-lane");
    const auto rows = csv_rows(cut_sheet_csv(plan));
    std::size_t stations = 0;
    for (const auto& sheet : sheets_of(plan)) {
        stations += sheet.rows.size();
    }
    const auto missing = not_supplied_lines(plan);
    REQUIRE(missing.size() == 2); // storm sewer, and private lines
    REQUIRE(rows.size() == missing.size() + stations + cautions().size());
    for (const auto& row : rows) {
        if (row.at("row") != "station") {
            continue;
        }
        CHECK((row.at("dig") == "hand" || row.at("dig").find("no mark supplied here") != std::string::npos));
        const double decimal_m = std::stod(row.at("cut_ft")) * ft_in_m;
        // Half a hundredth of a foot and half a sixteenth of an inch.
        CHECK(std::abs(parse_measure(Measure::length, row.at("cut_to_rule")) - decimal_m) <
              0.005 * ft_in_m + inch_in_m / 32 + 1e-9);
        // The job's sight is 652.36 US survey feet: 652.36 x 1200 / 3937 m.
        const double sight_ft = 652.36 * (1200.0 / 3937.0) / 0.3048;
        CHECK(std::stod(row.at("grade_rod_bottom_ft")) ==
              Approx(sight_ft - std::stod(row.at("trench_bottom_ft"))).margin(0.0101));
    }
    for (std::size_t i = 0; i < missing.size(); ++i) { // the first thing that is read
        CHECK(rows[i].at("row") == "not supplied");
        CHECK(rows[i].at("note") == missing[i]);
    }
    for (std::size_t i = 0; i < cautions().size(); ++i) {
        CHECK(rows[missing.size() + stations + i].at("note") == cautions()[i]);
    }
}

TEST_CASE("the crew's pages say at the top what was not supplied, and what machine does not mean", "[cut sheet]")
{
    const auto plan = planned("quillet-lane");
    Canvas canvas(cut_sheet_paper(plan.job.rules));
    const auto pages = draw_cut_sheets(canvas, plan, 0);
    const auto texts = canvas.drawn_texts();
    for (const auto& line : not_supplied_lines(plan)) {
        const auto said = std::ranges::find_if(texts, [&](const auto& one) { return one.text == line; });
        const auto first_row = std::ranges::find_if(texts, [](const auto& one) { return one.text == "machine *"; });
        REQUIRE((said != texts.end() && first_row != texts.end()));
        CHECK(said < first_row);
        const auto page = crew_page(plan);
        CHECK(page.find(line) < page.find("<main>"));
    }
    const auto notes = std::ranges::count_if(
        texts, [](const auto& one) { return one.text.find("no mark supplied here") != std::string::npos; });
    CHECK(static_cast<std::size_t>(notes) == pages); // pages get separated
}

TEST_CASE("cells with commas, quotes and line ends survive the csv", "[cut sheet]")
{
    // RFC 4180, section 2, rules 6 and 7.
    CHECK(csv_row({"a", "b,c", "3'-2 1/16\"", ""}) == "a,\"b,c\",\"3'-2 1/16\"\"\",\r\n");
    CHECK(csv_row({"two\nlines"}) == "\"two\nlines\"\r\n");
}

TEST_CASE("a cell that a spreadsheet would run is guarded, a figure is not", "[cut sheet]")
{
    // The characters named by OWASP, "CSV Injection".
    for (const std::string one : {"=1+2", "@SUM(A1)", "+49 30 1", "-cmd", "\tx"}) {
        CHECK(csv_row({one}) == "'" + one + "\r\n");
    }
    CHECK(csv_row({"-1.25", "+", "-0.5e3", "x=1"}) == "-1.25,'+,-0.5e3,x=1\r\n");
    CHECK(csv_row({"=\"a\""}) == "\"'=\"\"a\"\"\"\r\n");
}

TEST_CASE("no text on a page of the cut sheet overlaps another", "[cut sheet]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt", "tape");
    const auto plan = planned(lot);
    const auto paper = cut_sheet_paper(plan.job.rules);
    Canvas canvas(paper);
    const auto pages = draw_cut_sheets(canvas, plan, 3);
    CHECK(pages >= 1);
    std::string found;
    const auto& texts = canvas.drawn_texts();
    for (std::size_t i = 0; i < texts.size(); ++i) {
        for (const auto& corner : texts[i].corners) {
            CHECK(corner.x_pt <= paper.width_pt);
            CHECK(corner.y_pt <= paper.height_pt);
        }
        for (std::size_t j = 0; j < i; ++j) {
            if (texts[i].page == texts[j].page && overlap(texts[i].corners, texts[j].corners)) {
                found += "\"" + texts[i].text + "\" on \"" + texts[j].text + "\"\n";
            }
        }
    }
    CHECK(found == "");
}

TEST_CASE("words of the input cannot break out of the crew page", "[crew page]")
{
    auto plan = planned("tape");
    plan.job.name = "</script><script>alert(1)</script> \"A&B\" <b>";
    for (auto& source : plan.site.sources) {
        source.id = "<img src=x onerror=alert(1)>" + source.id;
    }
    const auto html = crew_page(plan);
    CHECK(html.find("<script>alert") == std::string::npos);
    CHECK(html.find("<img") == std::string::npos);
    CHECK(html.find("&lt;/script&gt;&lt;script&gt;alert(1)&lt;/script&gt; &quot;A&amp;B&quot; &lt;b&gt;") !=
          std::string::npos);
    std::size_t ends = 0;
    for (auto at = html.find("</script>"); at != std::string::npos; at = html.find("</script>", at + 1)) {
        ++ends;
    }
    CHECK(ends == 2);
    CHECK(html.find("http://") == std::string::npos);
    CHECK(html.find("https://") == std::string::npos);
}

TEST_CASE("cut sheet and sheet of a trench with STOPs open with them, and say ladder and protection", "[cut sheet]")
{
    const auto plan = planned("jobs/03-deep-footing");
    Canvas crew(cut_sheet_paper(plan.job.rules));
    draw_cut_sheets(crew, plan, 1);
    Canvas town(paper_of(plan.job.rules).size);
    draw_sheets(town, sheet_set(plan));
    const auto nth_with = [](const Canvas& canvas, const std::string& start) {
        const auto texts = canvas.drawn_texts();
        return std::ranges::find_if(texts, [&](const auto& one) { return one.text.starts_with(start); }) -
               texts.begin();
    };
    const auto pages = std::ssize(crew.drawn_texts());
    CHECK(nth_with(crew, "STOP. Not to be dug as planned") < nth_with(crew, "STOP, trench 1: Lies below"));
    CHECK(nth_with(crew, "STOP, trench 1: Lies below") < nth_with(crew, "Warning, trench 1: Cut of 4'-0\""));
    CHECK(nth_with(crew, "Warning, trench 1: Cut of 4'-0\"") < nth_with(crew, "Trench 1: DS-4"));
    CHECK(nth_with(crew, "Warning, trench 1: Cut of 5'-0\"") < nth_with(crew, "Trench 1: DS-4"));
    CHECK(nth_with(crew, "STOP footing from here") < pages); // in a row of the table
    CHECK(nth_with(crew, "ladder from here") < pages);
    const auto sheets = std::ssize(town.drawn_texts());
    CHECK(nth_with(town, "STOP footing, trench 1: ") < sheets);
    CHECK(nth_with(town, "ladder, trench 1: 0+") < sheets);
    CHECK(nth_with(town, "A ladder is required from a cut of 4'-0\" on, protection from 5'-0\".") < sheets);
    CHECK(nth_with(town, "STOP, trench 1: ") < nth_with(town, "Warning, trench 1: ")); // under "To check"
}
