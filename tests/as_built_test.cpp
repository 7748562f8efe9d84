#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/asbuilt/laid_pipe.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <numbers>
#include <random>
#include <string>
#include <unistd.h>

using namespace trenchwright;

namespace {

namespace fs = std::filesystem;

JobPlan planned(const std::string& lot, const std::string& outlet = "")
{
    auto job = read_job(fs::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot / "job.toml");
    job.sheet.outlet = outlet;
    return plan_job(std::move(job));
}

fs::path written(const std::string& text)
{
    const auto folder = fs::path(TRENCHWRIGHT_BINARY_DIR) / ("as_built_test-" + std::to_string(getpid()));
    fs::create_directories(folder);
    std::ofstream(folder / "measured.csv", std::ios::binary) << text;
    return folder / "measured.csv";
}

/// A straight trench 30 m long on 2 % from height 10, its ground 1 m above the invert.
TrenchPlan plain_trench()
{
    TrenchPlan trench;
    trench.line.route.line = {{0, 0}, {30, 0}};
    trench.measured.quantities.length_m = 30;
    trench.laid.profile.points = {{0, 10}, {30, 10.6}};
    trench.laid.problem.ground = {{0, 11}, {30, 11.6}};
    trench.laid.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.1};
    trench.laid.problem.min_cover_m = {{{0, 30}, 0.3}};
    return trench;
}

Rules plain_rules()
{
    auto rules = default_rules();
    set_rule(rules, "print.units", "metric");
    set_rule(rules, "drain.min_fall", "1 %");
    return rules;
}

/// The ground of plain_trench on both sides of it: 11 at x = 0, rising 2 %.
Ground sloping_ground()
{
    const std::vector<Point3> spots{{-50, -50, 10}, {100, -50, 13}, {100, 50, 13}, {-50, 50, 10}};
    return Ground::from_spots(spots, {});
}

/// A gas line 100 mm wide square across plain_trench at 5 m, depth unknown.
Site crossed_site()
{
    Site site;
    Mark mark;
    mark.id = "M";
    mark.facility = Facility::gas;
    mark.line = {{5, -4}, {5, 4}};
    mark.width_m = 0.1;
    site.marks.push_back(mark);
    return site;
}

Crossing planned_crossing()
{
    Crossing crossing;
    crossing.station_m = 5;
    crossing.angle_rad = std::numbers::pi / 2;
    crossing.at = {5, 0};
    return crossing;
}

std::size_t count(const std::vector<Finding>& findings, const std::string& words)
{
    return static_cast<std::size_t>(
        std::ranges::count_if(findings, [&](const Finding& one) { return one.text.find(words) != std::string::npos; }));
}

} // namespace

TEST_CASE("a pipe laid as planned gives no finding", "[as built]")
{
    const auto trench = plain_trench();
    const MeasuredTrench measured{&trench, 1, {{0, 10, {}}, {10, 10.2, {}}, {30, 10.6, {}}}};
    CHECK(as_built_findings(measured, plain_rules()).empty());
    for (const auto& row : as_built_rows(measured)) {
        CHECK(row.invert_elev_m == Approx(row.planned_elev_m));
        CHECK(row.standing_m == 0);
        CHECK(row.cover_m == Approx(1 + 0.003 - 0.11)); // ground over invert, plus wall, less outside diameter
    }
}

TEST_CASE("a pipe on its plan gives no finding when its levels are read to a hundredth of a foot", "[as built]")
{
    auto trench = plain_trench();
    trench.laid.profile.points = {{0, 10}, {30, 10.3}}; // 1 %, the least fall itself
    auto rules = plain_rules();
    MeasuredTrench measured{&trench, 1, {}};
    for (int i = 0; i <= 40; ++i) {
        const double hundredths = std::round((10 + 0.0075 * i) / 0.003048);
        measured.inverts.push_back({0.75 * i, hundredths * 0.003048, {}});
    }
    CHECK(as_built_findings(measured, rules).empty());
    set_rule(rules, "as_built.reading", "0.5 mm");
    CHECK(count(as_built_findings(measured, rules), "the minimum is") > 0); // 7.5 mm a step, read as 6.1 or 9.1 mm
}

TEST_CASE("a low place is back-fall above it and a belly as deep as the highest invert below it", "[as built]")
{
    const auto trench = plain_trench();
    const MeasuredTrench measured{&trench, 1, {{0, 10, {}}, {10, 10.2, {}}, {15, 10.15, {}}, {30, 10.6, {}}}};
    const auto findings = as_built_findings(measured, plain_rules());
    CHECK(count(findings, "Back-fall between 0+10.00 and 0+15.00: the upper invert lies 50 mm below") == 1);
    CHECK(count(findings, "Belly at 0+15.00: water stands 50 mm deep") == 1);
    CHECK(count(findings, "Back-fall") == 1);
    CHECK(count(findings, "Invert at 0+15.00 lies 150 mm below the plan's") == 1); // 10 + 0.02 x 15 = 10.30
}

TEST_CASE("standing water is what a pool below the highest lower lip holds, by brute force", "[as built]")
{
    // The pool's level at a point is the highest invert anywhere between it and the outlet.
    const auto trench = plain_trench();
    std::mt19937 random(11);
    for (int round = 0; round < 200; ++round) {
        MeasuredTrench measured{&trench, 1, {}};
        for (int i = 0; i <= 12; ++i) {
            measured.inverts.push_back({i * 2.5, 10 + static_cast<double>(random() % 1000) / 1000, {}});
        }
        const auto rows = as_built_rows(measured);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            double lip = measured.inverts[i].invert_elev_m;
            for (std::size_t j = 0; j < i; ++j) {
                lip = std::max(lip, measured.inverts[j].invert_elev_m);
            }
            CHECK(rows[i].standing_m == Approx(lip - measured.inverts[i].invert_elev_m).margin(1e-12));
        }
    }
}

TEST_CASE("too little fall, too little cover and a pipe off its line are named, by their settings", "[as built]")
{
    auto trench = plain_trench();
    auto rules = plain_rules();
    MeasuredTrench measured{&trench, 1, {{0, 10.75, {}}, {10, 10.76, Point{10, 0.5}}}};
    auto findings = as_built_findings(measured, rules);
    CHECK(count(findings, "Fall of 0.10 %") == 1);                                    // 0.01 in 10 m
    CHECK(count(findings, "Cover at 0+00.00 is 143 mm; 300 mm was to be kept") == 1); // 11 - 10.75 + 0.003 - 0.11
    CHECK(count(findings, "lies 0.50 m off its planned line") == 1);
    set_rule(rules, "as_built.place", "0.6 m");
    set_rule(rules, "drain.min_fall", "0.1 %");
    findings = as_built_findings(measured, rules);
    CHECK(count(findings, "off its planned line") == 0);
    CHECK(count(findings, "Fall of") == 0);
    CHECK(count(findings, "the plan's") == 2);
    set_rule(rules, "as_built.invert", "300 mm");                        // the widest that the setting takes is 12 in
    CHECK(count(as_built_findings(measured, rules), "the plan's") == 2); // 750 and 560 mm off
}

TEST_CASE("neighbors with the same fault make one finding, named at the worst", "[as built]")
{
    const auto trench = plain_trench(); // planned 10 + 0.02 x
    const MeasuredTrench measured{
        &trench, 1, {{0, 10, {}}, {5, 10.1, {}}, {10, 10.05, {}}, {13, 10.02, {}}, {16, 10.06, {}}, {30, 10.6, {}}}};
    const auto findings = as_built_findings(measured, plain_rules());
    CHECK(count(findings, "Belly") == 1);
    CHECK(count(findings, "Belly from 0+10.00 to 0+16.00: water stands 80 mm deep at 0+13.00.") == 1);
    CHECK(count(findings, "Invert from 0+10.00 to 0+16.00 lies up to 260 mm below the plan's at 0+16.00.") == 1);
    auto rules = plain_rules();
    set_rule(rules, "as_built.spacing", "2.5 m"); // nothing is said of what lies between
    CHECK(count(as_built_findings(measured, rules), "Belly at") == 3);
}

TEST_CASE("a gap is only given where the line was exposed and the pipe measured on both sides", "[as built]")
{
    auto trench = plain_trench();
    auto rules = plain_rules();
    set_rule(rules, "as_built.spacing", "12 m");
    auto site = crossed_site();
    trench.measured.crossings.push_back(planned_crossing());
    const MeasuredTrench measured{&trench, 1, {{0, 10, {}}, {10, 10.2, {}}}};
    auto findings = laid_gap_findings(measured, site, sloping_ground(), rules);
    CHECK(count(findings, "Crosses gas M (yellow, G) at 0+05.00: depth unknown, gap not judged.") == 1);
    site.marks[0].exposed_depth_m = 1.2;
    findings = laid_gap_findings(measured, site, sloping_ground(), rules);
    CHECK(count(findings, "depth unknown, gap not judged") == 1); // a depth that was not measured by exposure
    site.marks[0].quality = QualityLevel::a;
    // Top of the line 11.1 - 1.2 = 9.9. The pipe's underside is lowest at the line's lower edge, x = 4.95:
    // 10 + 0.02 x 4.95 - 0.003 = 10.096.
    findings = laid_gap_findings(measured, site, sloping_ground(), rules);
    CHECK(count(findings, "over it with a gap of 196 mm by its recorded depth, 305 mm is required") == 1);
    CHECK(findings[0].severity == Severity::stop); // gas: a hard gap
    set_rule(rules, "clearance.gas.crossing", "190 mm");
    CHECK(laid_gap_findings(measured, site, sloping_ground(), rules)[0].severity == Severity::note);
    set_rule(rules, "as_built.spacing", "9 m");
    findings = laid_gap_findings(measured, site, sloping_ground(), rules);
    CHECK(count(findings, "the pipe was not measured there, gap not judged") == 1);
    CHECK(findings.size() == 1);
    const MeasuredTrench at_it{&trench, 1, {{5, 10.1, {}}}};
    findings = laid_gap_findings(at_it, site, sloping_ground(), rules);
    CHECK(count(findings, "gap of 197 mm") == 1); // 10.1 - 0.003 - 9.9, by the one level taken at the crossing
}

TEST_CASE("a pipe below the line passes under it, and one that meets it is said to", "[as built]")
{
    const auto trench = plain_trench();
    auto site = crossed_site();
    site.marks[0].exposed_depth_m = 0.5; // top 10.6, bottom 10.5
    site.marks[0].quality = QualityLevel::a;
    const auto laid = [&](double invert_elev_m) {
        const MeasuredTrench level{&trench, 1, {{3, invert_elev_m, {}}, {7, invert_elev_m, {}}}};
        return laid_gap_findings(level, site, sloping_ground(), plain_rules());
    };
    // Top of the pipe: invert - 0.003 + 0.11.
    CHECK(count(laid(10.0), "under it with a gap of 393 mm") == 1);
    CHECK(count(laid(10.4), "the two overlap by 7 mm") == 1);
    CHECK(count(laid(10.4), "The plan does not cross it.") == 1);
}

TEST_CASE("measured places move the crossing to where the pipe lies", "[as built]")
{
    const auto trench = plain_trench();
    auto site = crossed_site();
    site.marks[0].line = {{5, 1.2}, {5, 9}}; // ends short of the planned line
    const MeasuredTrench off{&trench, 1, {{2, 10.04, Point{2, 1}}, {8, 10.16, Point{8, 2}}}};
    const auto findings = laid_gap_findings(off, site, sloping_ground(), plain_rules());
    REQUIRE(findings.size() == 1);
    CHECK(count(findings, "at 0+05.00: depth unknown, gap not judged. The plan does not cross it.") == 1);
    CHECK(findings[0].severity == Severity::warning);
    CHECK(findings[0].at->y_m == Approx(1.5)); // half way between the two places
    const MeasuredTrench unplaced{&trench, 1, {{2, 10.04, {}}, {8, 10.16, {}}}};
    CHECK(laid_gap_findings(unplaced, site, sloping_ground(), plain_rules()).empty());
}

TEST_CASE("the gap beside a line is judged where the pipe's places were measured", "[as built]")
{
    auto trench = plain_trench();
    auto site = crossed_site();
    site.marks[0].line = {{-5, 1.5}, {40, 1.5}};
    trench.measured.along.push_back({.mark = 0, .span = {0, 30}, .gap_m = 1.395, .in_zone = false, .too_near = false});
    auto rules = plain_rules();
    set_rule(rules, "clearance.gas.side", "914 mm");
    const MeasuredTrench near{&trench, 1, {{10, 10.2, Point{10, 0.5}}, {16, 10.32, Point{16, 0.5}}, {20, 10.4, {}}}};
    auto findings = laid_gap_findings(near, site, sloping_ground(), rules);
    // Axis to axis 1 m, less half the pipe's 110 mm and half the line's 100 mm.
    CHECK(count(findings,
                "from 0+10.00 to 0+16.00: 895 mm from it at the nearest, 914 mm is required; depth unknown, gap "
                "up or down not judged") == 1);
    CHECK(count(findings, "place was not measured there, side gap not judged") == 2); // below 10 and above 16
    CHECK(count(findings, "from 0+16.00 to 0+30.00") == 1);
    set_rule(rules, "clearance.gas.side", "890 mm");
    const auto kept = laid_gap_findings(near, site, sloping_ground(), rules);
    CHECK(std::ranges::none_of(kept, [](const Finding& one) { return one.severity != Severity::note; }));
}

TEST_CASE("a pipe as far off its plan everywhere is the plan's line moved, bends and all", "[as built]")
{
    auto trench = plain_trench();
    trench.line.route.line = {{0, 0}, {8, 0}, {14, 6}, {20, 7}};
    trench.measured.quantities.length_m = 8 + 6 * std::sqrt(2) + std::sqrt(37);
    const Point off{0.3, -0.7};
    MeasuredTrench measured{&trench, 1, {}};
    for (const double station_m : {1.0, 6.5, 11.0, 18.0, 22.0}) {
        const auto at = point_at(trench.line.route.line, station_m);
        measured.inverts.push_back({station_m, 10, Point{at.x_m + off.x_m, at.y_m + off.y_m}});
    }
    const auto runs = laid_runs(measured, 8);
    REQUIRE(runs.size() == 1);
    for (double along_m = 0; along_m < 21; along_m += 0.37) {
        const auto moved = point_at(runs[0].line, along_m);
        const auto planned = point_at(trench.line.route.line, 1 + along_m);
        CHECK(moved.x_m == Approx(planned.x_m + off.x_m));
        CHECK(moved.y_m == Approx(planned.y_m + off.y_m));
        CHECK(runs[0].station_at_m(along_m) == Approx(1 + along_m));
    }
    const auto apart = laid_runs(measured, 5); // 5.5, 4.5, 7 and 4 m between them
    REQUIRE(apart.size() == 2);
    const auto open = not_measured(measured, apart);
    REQUIRE(open.size() == 3);
    CHECK(open[1] == Interval{11, 18});
    CHECK(open[0] == Interval{0, 6.5});
}

TEST_CASE("levels are read from a table by inverts, by rods and by place", "[as built]")
{
    auto plan = planned("quillet-lane");
    const auto* trench = trenches_of(drawn_outlet(plan))[1];
    const auto source = plan.site.sources[trench->source].id;
    const auto measured = read_measured(plan, written("row,from_source,station_ft,as_built_invert_ft\nstation," +
                                                      source + ",10.00,647.05\nstation," + source +
                                                      ",5.00,\ncaution,,,\nstation," + source + ",0.00,646.90\n"));
    REQUIRE(measured[1].inverts.size() == 2);
    CHECK(measured[0].inverts.empty());
    CHECK(measured[1].inverts[0].station_m == 0);
    CHECK(measured[1].inverts[0].invert_elev_m == Approx(646.90 * 0.3048));
    CHECK(measured[1].inverts[1].station_m == Approx(3.048));

    plan.job.cut_sheet.instrument_elev_m = 200;
    const auto end = to_native(plan.site.frame, trench->line.route.line.front());
    const auto by_rod =
        read_measured(plan, written("from_source,station_m,as_built_rod_m,as_built_x,as_built_y\n" + source +
                                    ",0,2.5," + std::to_string(end.x) + "," + std::to_string(end.y) + "\n"));
    CHECK(by_rod[1].inverts[0].invert_elev_m == Approx(197.5));
    REQUIRE(by_rod[1].inverts[0].at);
    CHECK(std::hypot(by_rod[1].inverts[0].at->x_m - trench->line.route.line.front().x_m,
                     by_rod[1].inverts[0].at->y_m - trench->line.route.line.front().y_m) < 1e-4);
}

TEST_CASE("a table that cannot be understood is refused with its row and value", "[as built]")
{
    auto plan = planned("tape");
    const auto source = plan.site.sources[trenches_of(drawn_outlet(plan))[0]->source].id;
    const auto refusal = [&](const std::string& text) {
        try {
            read_measured(plan, written(text));
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::input);
            return std::string(error.what());
        }
        return std::string("was read");
    };
    const auto has = [](const std::string& text, const std::string& part) {
        INFO(text);
        CHECK(text.find(part) != std::string::npos);
    };
    const std::string head = "from_source,station_ft,as_built_invert_ft\n";
    has(refusal("from_source,as_built_invert_ft\nA,99\n"), "has no column station_ft or station_m");
    has(refusal("from_source,station_ft\nA,1\n"), "has no column as_built_invert_ft or as_built_invert_m");
    has(refusal(head + "nobody,1,98.60\n"), "\"nobody\" has no trench here");
    has(refusal(head + source + ",1,low\n"), "\"low\"");
    has(refusal(head + source + ",1,nan\n"), "\"nan\"");
    has(refusal(head + source + ",1,99999\n"), "out of range");
    has(refusal(head + source + ",500,98.60\n"), "lies off the trench");
    has(refusal(head + source + ",1,98.60\n" + source + ",1,98.61\n"), "a second level at station");
    has(refusal(head + source + ",1,\n"), "no row has a from_source and a level");
    has(refusal(head + source + ",,98.60\n"), "has a level and no station_ft");
    has(refusal("from_source,station_ft,as_built_rod_ft\n" + source + ",1,5.02\n"), "needs [cut_sheet] instrument");
    has(refusal("from_source,station_ft,as_built_invert_ft,as_built_x,as_built_y\n" + source + ",1,98.60,4,\n"),
        "both or neither");
}

TEST_CASE("the record says what was not measured and carries every caution", "[as built]")
{
    const auto plan = planned("tape");
    const auto trenches = trenches_of(drawn_outlet(plan));
    const auto text = as_built_text(plan, {{trenches[0], 1, {{0, 30, {}}}}, {trenches[1], 2, {}}});
    CHECK(text.find("Not measured: nothing is said of it.") != std::string::npos);
    std::string flat;
    for (const char c : text) {
        if (c != '\n' && !(c == ' ' && !flat.empty() && flat.back() == ' ')) {
            flat += c;
        } else if (c == '\n' && !flat.empty() && flat.back() != ' ') {
            flat += ' ';
        }
    }
    for (const auto& caution : cautions()) {
        CHECK(flat.find(caution) != std::string::npos);
    }
}
