#include "trenchwright/base/error.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/pump_check.hpp"
#include "trenchwright/plan/reach_pipes.hpp"
#include "trenchwright/plan/water.hpp"
#include "trenchwright/plan/water_findings.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

constexpr double ft = 0.3048;
constexpr double in = 0.0254;
constexpr double gpm = 231 * 0.0254 * 0.0254 * 0.0254 / 60; // 1 gal = 231 in3
constexpr double eighth_ratio = 1.0 / 96;                   // 1/8 in per ft

Source downspout(const std::string& id, double roof_ft2)
{
    Source source;
    source.id = id;
    source.roof_area_m2 = roof_ft2 * ft * ft;
    return source;
}

Source pump(const std::string& id, double flow_gpm)
{
    Source source;
    source.id = id;
    source.kind = SourceKind::pump;
    source.water = Water::sump;
    source.pump_flow_m3ps = flow_gpm * gpm;
    return source;
}

/// A trench of one grade, 100 ft at its lower end.
TrenchPlan trench(std::size_t source, double length_ft, double fall_ratio)
{
    TrenchPlan made;
    made.source = source;
    const double length_m = length_ft * ft;
    made.laid.profile.points = {{0, 100 * ft}, {length_m, 100 * ft + length_m * fall_ratio}};
    made.line.route.end.lowest_invert_elev_m = 100 * ft;
    return made;
}

TrenchPlan joining(TrenchPlan made, std::size_t trunk, double station_ft)
{
    made.joins = Junction{.source = trunk, .station_m = station_ft * ft, .at = {}};
    return made;
}

/// Pipes with bores of exactly 3, 4 and 6 in, planned with the 3 in: the pipes of docs/sources.md, G4.
Job job_with_whole_bores()
{
    Job job;
    job.rules = default_rules();
    for (const std::string size : {"3", "4", "6"}) {
        set_rule(job.rules, "pipes." + size + "in.outside_diameter", size + ".2 in");
        set_rule(job.rules, "pipes." + size + "in.wall", "0.1 in");
        set_rule(job.rules, "pipes." + size + "in.name", size + " in");
    }
    const std::vector<RuleText> planned{{"drain.pipe_outside_diameter", "3.2 in", ""},
                                        {"drain.pipe_wall", "0.1 in", ""},
                                        {"drain.pipe_name", "3 in", ""},
                                        {"water.design_rain", "4 in/h", ""},
                                        {"water.roof_coefficient", "100 %", ""}};
    set_rules(job.rules, planned);
    return job;
}

Site site_of(std::vector<Source> sources)
{
    Site site;
    site.sources = std::move(sources);
    site.outlets.resize(1);
    site.outlets[0].kind = OutletKind::popup;
    return site;
}

OutletOutcome outcome_of(std::vector<TrenchPlan> trenches)
{
    OutletOutcome outcome;
    for (auto& one : trenches) {
        outcome.by_source.emplace_back(std::move(one));
    }
    outcome.works = true;
    return outcome;
}

TrenchPlan& at(OutletOutcome& outcome, std::size_t source)
{
    return std::get<TrenchPlan>(outcome.by_source.at(source));
}

/// The drain of one pump's flow in one trench.
OutletOutcome one_flow(double flow_gpm, double fall_ratio, const Job& job, Site site = site_of({}))
{
    site.sources = {pump("P", flow_gpm)};
    auto outcome = outcome_of({trench(0, 50, fall_ratio)});
    outcome = with_water(std::move(outcome), site, job);
    return outcome;
}

std::string texts(const std::vector<Finding>& findings)
{
    std::string all;
    for (const auto& finding : findings) {
        all += finding.rule + ": " + finding.text + "\n";
    }
    return all;
}

/// The pit and line of docs/sources.md, T1, with a curve through its duty of 25 gpm and 10.50 ft.
PumpRecord worksheet_pump()
{
    PumpRecord made;
    made.curve = {{20 * gpm, 12.5 * ft}, {30 * gpm, 8.5 * ft}};
    made.rim_elev_m = 93.5 * ft;
    made.pit_diameter_m = 18 * in;
    made.pit_depth_m = 24 * in;
    made.on_below_rim_m = 10 * in;
    made.off_below_rim_m = 18 * in; // off level at 92 ft, 8 ft under the line at 100 ft
    made.inside_length_m = 10 * ft;
    made.fittings = {.elbows_90 = 3, .gate_valves = 1};
    made.inflow_m3ps = 5 * gpm;
    return made;
}

} // namespace

TEST_CASE("a downspout sends roof area times rain times coefficient, in both unit systems", "[water]")
{
    // docs/sources.md, R12: 1 in/h on 1 ft2 is 1 / 96.25 gpm. 760 ft2 x 4 in/h x 0.95 / 96.25 = 30.005 gpm.
    auto rules = default_rules();
    set_rule(rules, "water.design_rain", "4 in/h");
    const auto flow = source_flow_m3ps(downspout("D", 760), rules.water);
    REQUIRE(flow);
    CHECK(*flow == Approx(760 * 4 * 0.95 / 96.25 * gpm).epsilon(1e-9));
    // The same in meters: 101.6 mm/h on 70.606 m2: 0.1016 / 3600 x 70.606 x 0.95 m3/s.
    set_rule(rules, "water.design_rain", "101.6 mm/h");
    CHECK(*source_flow_m3ps(downspout("D", 760), rules.water) ==
          Approx(0.1016 / 3600 * 760 * 0.3048 * 0.3048 * 0.95).epsilon(1e-12));
    CHECK(*source_flow_m3ps(pump("P", 32), rules.water) == Approx(32 * gpm));
    CHECK_FALSE(source_flow_m3ps(downspout("D", 0), rules.water));
    CHECK_FALSE(source_flow_m3ps(pump("P", 0), rules.water));
    CHECK_FALSE(source_flow_m3ps(downspout("D", std::nan("")), rules.water));
}

TEST_CASE("a trench is cut into reaches where others join it, and each carries what enters above", "[water]")
{
    const auto job = job_with_whole_bores();
    // At 4 in/h and a coefficient of 1, 962.5 ft2 shed 40 gpm (R12).
    const auto site = site_of({downspout("A", 962.5), pump("B", 7), pump("C", 5), pump("D", 3)});
    auto outcome = outcome_of({trench(0, 100, 0.02), joining(trench(1, 20, 0.02), 0, 30),
                               joining(trench(2, 10, 0.02), 0, 60), joining(trench(3, 10, 0.02), 1, 20)});
    outcome = with_water(std::move(outcome), site, job);
    const auto& trunk = at(outcome, 0).water.reaches;
    REQUIRE(trunk.size() == 3);
    CHECK(trunk[0].span.to_m == Approx(30 * ft));
    CHECK(trunk[1].span.to_m == Approx(60 * ft));
    CHECK(trunk[2].span.to_m == Approx(100 * ft));
    CHECK(*trunk[2].flow_m3ps == Approx(40 * gpm));
    CHECK(*trunk[1].flow_m3ps == Approx(45 * gpm));
    CHECK(*trunk[0].flow_m3ps == Approx(55 * gpm));
    // D joins B at B's very top: one reach, both flows.
    REQUIRE(at(outcome, 1).water.reaches.size() == 1);
    CHECK(*at(outcome, 1).water.reaches[0].flow_m3ps == Approx(10 * gpm));
}

TEST_CASE("no water is lost or made at any junction of random drains", "[water]")
{
    std::mt19937 random(20260518);
    const auto uniform = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    const auto job = job_with_whole_bores();
    for (int round = 0; round < 100; ++round) {
        const auto count = static_cast<std::size_t>(2 + round % 5);
        std::vector<Source> sources;
        std::vector<TrenchPlan> trenches;
        for (std::size_t i = 0; i < count; ++i) {
            sources.push_back(pump("P" + std::to_string(i), uniform(1, 20)));
            trenches.push_back(trench(i, uniform(20, 90), uniform(0.01, 0.05)));
            if (i > 0) {
                const auto trunk = std::uniform_int_distribution<std::size_t>(0, i - 1)(random);
                const double length_ft = trenches[trunk].laid.profile.points.back().station_m / ft;
                trenches[i] = joining(std::move(trenches[i]), trunk, uniform(0.05, 1) * length_ft);
            }
        }
        const auto site = site_of(sources);
        auto outcome = outcome_of(std::move(trenches));
        outcome = with_water(std::move(outcome), site, job);
        // By walking: a source's water runs through all below its entry, then through the trench it joins.
        std::vector<std::vector<double>> walked(count);
        for (std::size_t i = 0; i < count; ++i) {
            walked[i].resize(at(outcome, i).water.reaches.size());
        }
        for (std::size_t i = 0; i < count; ++i) {
            std::size_t on = i;
            double entry_m = at(outcome, i).laid.profile.points.back().station_m;
            for (;;) {
                const auto& reaches = at(outcome, on).water.reaches;
                for (std::size_t r = 0; r < reaches.size(); ++r) {
                    walked[on][r] += reaches[r].span.from_m < entry_m - 1e-5 ? sources[i].pump_flow_m3ps : 0;
                }
                if (!at(outcome, on).joins) {
                    break;
                }
                entry_m = at(outcome, on).joins->station_m;
                on = at(outcome, on).joins->source;
            }
        }
        for (std::size_t i = 0; i < count; ++i) {
            const auto& reaches = at(outcome, i).water.reaches;
            REQUIRE_FALSE(reaches.empty());
            CHECK(reaches.front().span.from_m == 0);
            CHECK(reaches.back().span.to_m == at(outcome, i).laid.profile.points.back().station_m);
            for (std::size_t r = 0; r < reaches.size(); ++r) {
                CHECK((r == 0 || reaches[r].span.from_m == reaches[r - 1].span.to_m));
                REQUIRE(reaches[r].flow_m3ps);
                CHECK(*reaches[r].flow_m3ps == Approx(walked[i][r]).epsilon(1e-12));
            }
        }
    }
}

TEST_CASE("each reach takes the smallest listed pipe that carries it", "[water]")
{
    // docs/sources.md, G4: bores of 3 / 4 / 6 in, n 0.011, 1/8 in per ft carry 47.84 / 103.03 / 303.77 gpm full.
    const auto job = job_with_whole_bores();
    const auto pipe_for = [&](double flow_gpm) {
        auto outcome = one_flow(flow_gpm, eighth_ratio, job);
        return at(outcome, 0).water.reaches.at(0).sized->pipe;
    };
    CHECK(pipe_for(47.5) == std::size_t{0});
    CHECK(pipe_for(48.2) == std::size_t{1});
    CHECK(pipe_for(102.5) == std::size_t{1});
    CHECK(pipe_for(103.5) == std::size_t{2});
    CHECK(pipe_for(303.0) == std::size_t{2});
    CHECK_FALSE(pipe_for(304.5));
    auto outcome = one_flow(30, eighth_ratio, job);
    const auto& reach = at(outcome, 0).water.reaches.at(0);
    CHECK(reach.min_fall_ratio == Approx(eighth_ratio));
    CHECK(reach.as_planned->capacity_m3ps == Approx(47.84 * gpm).epsilon(5e-4));
    CHECK(reach.as_planned->full_velocity_mps == Approx(2.171 * ft).epsilon(5e-4));
    CHECK(reach.as_planned->spare_m3ps == Approx(17.84 * gpm).epsilon(2e-3));
    CHECK(at(outcome, 0).findings.empty());
}

TEST_CASE("the flattest stretch of a reach decides, and a pipe never gets smaller downstream", "[water]")
{
    const auto job = job_with_whole_bores();
    const auto site = site_of({pump("A", 60), pump("B", 1)});
    // Above 40 ft 1/8 in per ft: 60 gpm need the 4 in (G4). Below it four times as steep: twice 47.84 = 95.68 gpm in
    // the 3 in (G10), but the pipe above is 4 in already.
    auto upper_flat = trench(0, 100, 0);
    upper_flat.laid.profile.points = {
        {0, 0}, {40 * ft, 40 * ft * 4 * eighth_ratio}, {100 * ft, (40 * 4 + 60) * ft * eighth_ratio}};
    auto outcome = outcome_of({upper_flat, joining(trench(1, 10, 0.02), 0, 40)});
    outcome = with_water(std::move(outcome), site, job);
    const auto& reaches = at(outcome, 0).water.reaches;
    REQUIRE(reaches.size() == 2);
    CHECK(reaches[0].min_fall_ratio == Approx(4 * eighth_ratio));
    CHECK(reaches[1].min_fall_ratio == Approx(eighth_ratio));
    CHECK(reaches[0].as_planned->capacity_m3ps == Approx(95.68 * gpm).epsilon(5e-4));
    CHECK(reaches[1].sized->pipe == std::size_t{1});
    CHECK(reaches[0].sized->pipe == std::size_t{1});
    // Without the junction it is one reach, and the flat part decides for the whole.
    auto alone = outcome_of({upper_flat});
    alone = with_water(std::move(alone), site_of({pump("A", 60)}), job);
    REQUIRE(at(alone, 0).water.reaches.size() == 1);
    CHECK(at(alone, 0).water.reaches[0].min_fall_ratio == Approx(eighth_ratio));
}

TEST_CASE("a flow above what the planned pipe carries says which pipe it needs", "[water]")
{
    const auto job = job_with_whole_bores();
    auto outcome = one_flow(90, eighth_ratio, job);
    const auto said = texts(at(outcome, 0).findings);
    CHECK_THAT(said, Contains("carries 47.8 gpm") && Contains("90.0 gpm comes") &&
                         Contains("needs the 4 in: this plan is for a smaller pipe"));
    auto too_much = one_flow(400, eighth_ratio, job);
    // 400 / 303.77 is above 1: two.
    CHECK_THAT(texts(at(too_much, 0).findings),
               Contains("No pipe of the list") && Contains("2 pipes side by side (6 in)"));
    CHECK(texts(at(too_much, 0).findings).find("drain.pipe_outside_diameter") == std::string::npos);
}

TEST_CASE("a curb too low for the pipe that the flow needs gets two smaller ones or another outlet", "[water]")
{
    // docs/sources.md, J8: a 6 in curb with 2 in left above takes 4.0 in outside from gutter to clearance; counted from
    // the pipe's underside, one wall of 0.1 in more. 4.2 in outside do not fit. 90 gpm / 47.84 (G4): two 3 in pipes.
    const auto job = job_with_whole_bores();
    auto site = site_of({});
    site.outlets[0].kind = OutletKind::curb;
    site.outlets[0].gutter_elev_m = 100 * ft;
    site.outlets[0].curb_top_elev_m = 100 * ft + 6 * in;
    auto low = one_flow(90, eighth_ratio, job, site);
    CHECK_THAT(texts(at(low, 0).findings), Contains("the curb leaves 4.1 in") && Contains("4.2 in outside") &&
                                               Contains("2 pipes side by side (3 in)") && Contains("another outlet"));
    site.outlets[0].curb_top_elev_m = 100 * ft + 6.2 * in;
    auto high = one_flow(90, eighth_ratio, job, site);
    CHECK_THAT(texts(at(high, 0).findings), Contains("needs the 4 in: this plan is for a smaller pipe"));
}

TEST_CASE("water too slow and too fast is said with its figures, in the job's units", "[water]")
{
    auto job = job_with_whole_bores();
    // docs/sources.md, G4 and G10: 3 in at 1/8 in per ft runs 2.171 ft/s full; at a quarter of that fall half of
    // it, 1.086 ft/s.
    auto slow = one_flow(5, eighth_ratio / 4, job);
    CHECK_THAT(texts(at(slow, 0).findings), Contains("water.min_velocity") && Contains("1.09 ft/s in the full pipe") &&
                                                Contains("2.00 ft/s is required"));
    set_rule(job.rules, "print.units", "metric");
    auto metric = one_flow(5, eighth_ratio / 4, job);
    // 1.086 x 0.3048 = 0.331 m/s; 2 ft/s = 0.61 m/s.
    CHECK_THAT(texts(at(metric, 0).findings), Contains("0.33 m/s") && Contains("0.61 m/s is required"));
    CHECK(at(metric, 0).water.reaches == at(slow, 0).water.reaches);
    // Half full runs as fast as full (P3): at 36 times the fall 6 x 2.171 = 13.03 ft/s and half of 6 x 47.84 gpm.
    set_rule(job.rules, "print.units", "us");
    auto fast = one_flow(3 * 47.84, 36 * eighth_ratio, job);
    CHECK(at(fast, 0).water.reaches[0].as_planned->depth_ratio == Approx(0.5).margin(1e-3));
    CHECK_THAT(texts(at(fast, 0).findings),
               Contains("water.max_velocity") && Contains("13.03 ft/s") && Contains("the maximum is 10.00 ft/s"));
}

TEST_CASE("without a design rain nothing is sized for roof water, and one finding says so", "[water]")
{
    auto job = job_with_whole_bores();
    set_rule(job.rules, "water.design_rain", "0 in/h");
    const auto site = site_of({downspout("A", 900), downspout("B", 700), pump("P", 12)});
    auto outcome = outcome_of({trench(0, 60, 0.02), joining(trench(1, 20, 0.02), 0, 30), trench(2, 30, 0.02)});
    outcome = with_water(std::move(outcome), site, job);
    for (const auto source : {0U, 1U}) {
        for (const auto& reach : at(outcome, source).water.reaches) {
            CHECK_FALSE(reach.flow_m3ps);
            CHECK_FALSE(reach.sized);
            CHECK(reach.as_planned->capacity_m3ps > 0);
        }
    }
    CHECK(*at(outcome, 2).water.reaches.at(0).flow_m3ps == Approx(12 * gpm));
    const auto said = water_findings(site, job);
    CHECK(std::count_if(said.begin(), said.end(), [](const auto& f) { return f.rule == "water.design_rain"; }) == 1);
    CHECK_THAT(texts(said), Contains("P: pump curve not supplied: duty not checked"));
    set_rule(job.rules, "water.design_rain", "4 in/h");
    CHECK_THAT(texts(water_findings(site, job)), !Contains("water.design_rain"));
}

TEST_CASE("one source of unknown flow makes the flow below it unknown, and no other", "[water]")
{
    const auto job = job_with_whole_bores();
    const auto site = site_of({pump("A", 10), downspout("B", 0)});
    auto outcome = outcome_of({trench(0, 60, 0.02), joining(trench(1, 20, 0.02), 0, 30)});
    outcome = with_water(std::move(outcome), site, job);
    CHECK_FALSE(at(outcome, 0).water.reaches.at(0).flow_m3ps);
    CHECK(*at(outcome, 0).water.reaches.at(1).flow_m3ps == Approx(10 * gpm));
    CHECK_THAT(texts(water_findings(site, job)), Contains("B: no roof area supplied"));
}

TEST_CASE("a refused source sends nothing, and a trench that joins it is our own mistake", "[water]")
{
    const auto job = job_with_whole_bores();
    const auto site = site_of({pump("A", 10), pump("B", 5)});
    auto outcome = outcome_of({trench(0, 60, 0.02), trench(1, 20, 0.02)});
    outcome.by_source[1] = Refusal{};
    outcome = with_water(std::move(outcome), site, job);
    CHECK(*at(outcome, 0).water.reaches.at(0).flow_m3ps == Approx(10 * gpm));
    auto broken = outcome_of({joining(trench(0, 60, 0.02), 1, 5), trench(1, 20, 0.02)});
    broken.by_source[1] = Refusal{};
    CHECK_THROWS_AS(with_water(broken, site, job), Error);
}

TEST_CASE("the pump's duty agrees with the worksheet", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    auto outcome = outcome_of({trench(0, 30, 0)});
    at(outcome, 0).pressure = true;
    outcome = with_water(std::move(outcome), site_of({pump("P", 20)}), job);
    REQUIRE(at(outcome, 0).water.pump);
    const auto& check = *at(outcome, 0).water.pump;
    // docs/sources.md, T1: lift 8 ft, 40 ft of pipe, three elbows, check and gate valve worth 26.56 ft, 10.50 ft at 25
    // gpm.
    CHECK(check.line.static_lift_m == Approx(8 * ft));
    CHECK(check.line.length_m == Approx(40 * ft));
    CHECK(fittings_length_m(check.line.fittings) == Approx(26.56 * ft).margin(0.02 * ft));
    CHECK(total_head_m(check.line, 25 * gpm) == Approx(10.50 * ft).margin(0.02 * ft));
    REQUIRE(check.duty);
    CHECK(check.duty->point.flow_m3ps == Approx(25 * gpm).margin(0.05 * gpm));
    // docs/sources.md, H4: 3.94 ft/s.
    CHECK(check.duty->velocity_mps == Approx(3.94 * ft).margin(0.01 * ft));
    // docs/sources.md, T12: 1.1016 gal per inch of an 18 in pit, 8 in between the levels: 8.813 gal. Fills at 5 gpm in
    // 105.8 s, runs against the inflow for 8.813 / 20 min = 26.4 s.
    CHECK(check.between_levels_m3 == Approx(8 * 1.1016 * 60 * gpm).epsilon(1e-4));
    CHECK(check.duty->cycle.fill_s == Approx(105.8).margin(0.1));
    CHECK(check.duty->cycle.run_s == Approx(26.4).margin(0.1));
    CHECK(check.duty->drains_back_m3 == 0);
    CHECK(at(outcome, 0).findings.empty());
    // The drain gets what the pump moves, for that is more than the 20 gpm stated.
    CHECK(*at(outcome, 0).water.reaches.at(0).flow_m3ps == Approx(25 * gpm).margin(0.05 * gpm));
    CHECK_FALSE(at(outcome, 0).water.reaches.at(0).as_planned);
}

TEST_CASE("without a check valve the pipe up to the highest point runs back", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    job.pumps[0].check_valve = false;
    auto outcome = outcome_of({trench(0, 60, 0)});
    // A hump 40 ft from the pump's end of the trench.
    at(outcome, 0).laid.profile.points = {{0, 99 * ft}, {20 * ft, 100 * ft}, {60 * ft, 99.5 * ft}};
    at(outcome, 0).line.bends = {{.fitting_angles_rad = {std::numbers::pi / 2}, .at = {}},
                                 {.fitting_angles_rad = {std::numbers::pi / 8, std::numbers::pi / 4}, .at = {}}};
    outcome = with_water(std::move(outcome), site_of({pump("P", 20)}), job);
    const auto& check = *at(outcome, 0).water.pump;
    CHECK(check.highest_station_m == Approx(20 * ft));
    const double rising_ft = 10 + std::hypot(40, 0.5);
    CHECK(check.line.rising_length_m == Approx(rising_ft * ft));
    CHECK(check.line.length_m == Approx((rising_ft + std::hypot(20, 1)) * ft));
    // docs/sources.md, O1: bore 1.610 in.
    CHECK(check.duty->drains_back_m3 == Approx(std::numbers::pi / 4 * 1.61 * in * 1.61 * in * rising_ft * ft));
    // Elbows: three inside and one outside of 90 deg, two outside of 45 deg or less; a gate valve; no check valve.
    REQUIRE(check.line.fittings.size() == 3);
    CHECK(check.line.fittings[0].count == 4);
    CHECK(check.line.fittings[1].count == 2);
    // With 60 ft of line to run back and a shallow band of 2 in (2.2 gal) the pump starts again at once.
    job.pumps[0].on_below_rim_m = 16 * in;
    outcome = with_water(std::move(outcome), site_of({pump("P", 20)}), job);
    CHECK_THAT(texts(at(outcome, 0).findings), Contains("needs a check valve or a larger pit"));
}

TEST_CASE("a pump that cannot lift, or a line below its off level, is said and not guessed", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    const auto site = site_of({pump("P", 20)});
    const auto said = [&](double rim_ft) {
        job.pumps[0].rim_elev_m = rim_ft * ft;
        auto outcome = outcome_of({trench(0, 30, 0)});
        outcome = with_water(std::move(outcome), site, job);
        CHECK(*at(outcome, 0).water.reaches.at(0).flow_m3ps == Approx(20 * gpm)); // the stated flow stands
        return texts(at(outcome, 0).findings);
    };
    // Rim 81.5 ft: the off level lies 20 ft under the line and the curve ends at 12.5 ft.
    CHECK_THAT(said(81.5), Contains("above the curve's first point") || Contains("does not reach"));
    CHECK_THAT(said(103), Contains("1.5 ft below the off level") && Contains("Duty not checked"));
}

TEST_CASE("without an inflow the pump is judged at the one that starts it most often", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    job.pumps[0].inflow_m3ps.reset();
    auto outcome = outcome_of({trench(0, 30, 0)});
    outcome = with_water(std::move(outcome), site_of({pump("P", 20)}), job);
    const auto& check = *at(outcome, 0).water.pump;
    CHECK_FALSE(check.inflow_known);
    // Closed form: half the pump's flow, 4 x 8.813 gal / 25 gpm = 84.6 s from start to start.
    CHECK(check.duty->worst.inflow_m3ps == Approx(12.5 * gpm).margin(0.05 * gpm));
    CHECK(check.duty->worst.cycle.cycle_s() == Approx(4 * 8.813 / 25 * 60).margin(0.2));
}

TEST_CASE("a light pit floats and says how much concrete would hold it", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    const auto site = site_of({pump("P", 20)});
    // docs/sources.md, B3: 220.5 lb lift an empty 18 x 24 in pit; with safety 1.3 286.7 lb, 3.27 ft3 of concrete.
    const auto up = pit_uplift(job.pumps[0], job.rules.water.uplift);
    CHECK(up.displaced_kg == Approx(220.5 * 0.45359237).margin(0.1));
    CHECK(up.net_kg == Approx(286.7 * 0.45359237).margin(0.1));
    CHECK(up.concrete_m3 == Approx(3.27 * ft * ft * ft).margin(0.01 * ft * ft * ft));
    // 3.27 / 27 = 0.12 yd3.
    CHECK_THAT(texts(water_findings(site, job)), Contains("uplift.safety") && Contains("0.12 yd3"));
    job.pumps[0].ballast = {{.volume_m3 = 3.28 * ft * ft * ft, .density_kg_per_m3 = 150 * 0.45359237 / (ft * ft * ft)}};
    CHECK_THAT(texts(water_findings(site, job)), !Contains("uplift.safety"));
    job.pumps[0].ballast.clear();
    job.pumps[0].perforated = true;
    CHECK_THAT(texts(water_findings(site, job)), Contains("pump.pit_wall is not given"));
    // Walls of 1/4 in: pi (18.5^2 - 18^2) / 4 x 24 in3 = 344.0 in3, 12.42 lb of water.
    job.pumps[0].pit_wall_m = 0.25 * in;
    CHECK(pit_uplift(job.pumps[0], job.rules.water.uplift).displaced_kg == Approx(12.42 * 0.45359237).epsilon(1e-3));
}

TEST_CASE("a [pump] table that fits no pump of the site is refused with its place", "[water]")
{
    auto job = job_with_whole_bores();
    job.pumps = {worksheet_pump()};
    job.pumps[0].where = "lot.toml:12: ";
    CHECK(pumps_by_source(job, site_of({downspout("D", 1), pump("P", 20)}))[1] == std::size_t{0});
    CHECK_THROWS_WITH(pumps_by_source(job, site_of({downspout("D", 1)})),
                      Contains("lot.toml:12: pump.source") && Contains("none"));
    CHECK_THROWS_WITH(pumps_by_source(job, site_of({pump("P", 1), pump("Q", 1)})), Contains("must be given"));
    job.pumps[0].source = "Z";
    CHECK_THROWS_WITH(pumps_by_source(job, site_of({pump("P", 1), pump("Q", 1)})), Contains("\"P\", \"Q\""));
    job.pumps[0].source = "Q";
    job.pumps.push_back(job.pumps[0]);
    CHECK_THROWS_WITH(pumps_by_source(job, site_of({pump("P", 1), pump("Q", 1)})), Contains("two [pump] tables"));
}

TEST_CASE("default roughness and roof coefficient lie within their published ranges", "[water]")
{
    const auto water = default_rules().water;
    // docs/sources.md, N3, N4 (HEC-22 table 4.4) and the roofs of table 4.1.
    CHECK((water.smooth_manning_n >= 0.009 && water.smooth_manning_n <= 0.015));
    CHECK((water.corrugated_manning_n >= 0.018 && water.corrugated_manning_n <= 0.025));
    CHECK((water.roof_runoff_share >= 0.75 && water.roof_runoff_share <= 0.95 + 1e-12));
    CHECK(water.design_rain_mps == 0);
    // docs/sources.md, O1 and O6: bores of 1.610 and 3.975 in.
    CHECK(water.pump_line.outside_diameter_m - 2 * water.pump_line.wall_m == Approx(1.610 * in));
    CHECK(bore_of(water.pipes.at(1), water).bore_m == Approx(3.975 * in));
    // docs/sources.md, F1, F2, F3, F5, F6 in feet of 1 1/2 in pipe, divided by the bore: 30.0, 16.0, 20.0, 99.9, 8.0.
    CHECK(water.pump_line.elbow_90_bores_ratio == Approx(4.03 * 12 / 1.61).epsilon(0.01));
    CHECK(water.pump_line.elbow_45_bores_ratio == Approx(2.15 * 12 / 1.61).epsilon(0.01));
    CHECK(water.pump_line.tee_through_bores_ratio == Approx(2.68 * 12 / 1.61).epsilon(0.01));
    CHECK(water.pump_line.check_valve_bores_ratio == Approx(13.40 * 12 / 1.61).epsilon(0.01));
    CHECK(water.pump_line.gate_valve_bores_ratio == Approx(1.07 * 12 / 1.61).epsilon(0.01));
}
