#include "base/error.hpp"
#include "plan/as_built.hpp"
#include "plan/drawn_outlet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
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
    trench.route.line = {{0, 0}, {30, 0}};
    trench.quantities.length_m = 30;
    trench.profile.points = {{0, 10}, {30, 10.6}};
    trench.problem.ground = {{0, 11}, {30, 11.6}};
    trench.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.11, .wall_m = 0.003, .bedding_m = 0.1};
    trench.problem.least_cover_m = {{{0, 30}, 0.3}};
    return trench;
}

Rules plain_rules()
{
    auto rules = default_rules();
    set_rule(rules, "print.units", "metric");
    set_rule(rules, "drain.least_fall", "1 %");
    return rules;
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
    set_rule(rules, "drain.least_fall", "0.1 %");
    findings = as_built_findings(measured, rules);
    CHECK(count(findings, "off its planned line") == 0);
    CHECK(count(findings, "Fall of") == 0);
    CHECK(count(findings, "the plan's") == 2);
    set_rule(rules, "as_built.invert", "300 mm");                        // the widest that the setting takes is 12 in
    CHECK(count(as_built_findings(measured, rules), "the plan's") == 2); // 750 and 560 mm off
}

TEST_CASE("a gap is only given where the line was exposed and the pipe measured on both sides", "[as built]")
{
    auto trench = plain_trench();
    Crossing crossing;
    crossing.station_m = 5;
    crossing.at = {5, 0};
    trench.crossings.push_back(crossing);
    const MeasuredTrench measured{&trench, 1, {{0, 10, {}}, {10, 10.2, {}}}};
    CHECK(count(as_built_findings(measured, plain_rules()), "crossed at 0+05.00: not known") == 1);
    trench.crossings[0].facility_top_elev_m = 10.0;
    // Underside: 10.1 - 0.003; 97 mm over the top.
    CHECK(count(as_built_findings(measured, plain_rules()), "lies 97 mm above the recorded top") == 1);
    const MeasuredTrench one_side{&trench, 1, {{0, 10, {}}, {4, 10.08, {}}}};
    CHECK(count(as_built_findings(one_side, plain_rules()), "not known") == 1);
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
    const auto end = to_native(plan.site.frame, trench->route.line.front());
    const auto by_rod =
        read_measured(plan, written("from_source,station_m,as_built_rod_m,as_built_x,as_built_y\n" + source +
                                    ",0,2.5," + std::to_string(end.x) + "," + std::to_string(end.y) + "\n"));
    CHECK(by_rod[1].inverts[0].invert_elev_m == Approx(197.5));
    REQUIRE(by_rod[1].inverts[0].at);
    CHECK(std::hypot(by_rod[1].inverts[0].at->x_m - trench->route.line.front().x_m,
                     by_rod[1].inverts[0].at->y_m - trench->route.line.front().y_m) < 1e-4);
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
