#include "export_fixture.hpp"
#include "trenchwright/plan/pipe_load.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/report/first_table.hpp"
#include "trenchwright/report/report.hpp"

#include <catch2/catch.hpp>
#include <sstream>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;

namespace {

Reach reach_of(std::optional<double> flow_m3ps, double capacity_m3ps)
{
    Reach reach;
    reach.flow_m3ps = flow_m3ps;
    reach.as_planned = ReachFlow{};
    reach.as_planned->capacity_m3ps = capacity_m3ps;
    if (flow_m3ps.value_or(0) > capacity_m3ps) {
        reach.as_planned->verdicts = {FlowVerdict::too_full};
    }
    return reach;
}

OutletOutcome outcome_of(std::vector<Reach> reaches)
{
    TrenchPlan trench;
    trench.water.reaches = std::move(reaches);
    OutletOutcome outcome;
    outcome.works = true;
    outcome.by_source = {std::move(trench)};
    return outcome;
}

std::vector<std::string> lines_of(const std::string& text)
{
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        lines.push_back(line);
    }
    return lines;
}

} // namespace

TEST_CASE("the pipe of an outlet is judged by the reach loaded most", "[first_table]")
{
    const auto load = pipe_load(outcome_of({reach_of(0.001, 0.002), reach_of(0.006, 0.003), reach_of(0.004, 0.003)}));
    CHECK(load.state == PipeLoadState::too_small);
    CHECK(load.flow_m3ps == 0.006);
    CHECK(load.capacity_m3ps == 0.003);
    CHECK(pipe_load(outcome_of({reach_of(0.001, 0.002)})).state == PipeLoadState::carries);
}

TEST_CASE("a flow that is not known is never a pipe that carries it", "[first_table]")
{
    const auto unknown = pipe_load(outcome_of({reach_of({}, 0.003), reach_of(0.001, 0.003)}));
    CHECK(unknown.state == PipeLoadState::not_known);
    CHECK(pipe_load(outcome_of({reach_of({}, 0.003)})).flow_m3ps == std::nullopt);
    // What is known to be too small stays so, whatever else is not known.
    CHECK(pipe_load(outcome_of({reach_of({}, 0.003), reach_of(0.004, 0.003)})).state == PipeLoadState::too_small);
    // A level pipe has no capacity, and any flow is too much.
    CHECK(pipe_load(outcome_of({reach_of(0.001, 0)})).state == PipeLoadState::too_small);
    CHECK(pipe_load(outcome_of({Reach{}})).state == PipeLoadState::pumped);
}

TEST_CASE("a chance that nobody worked out is not known, in the table too", "[first_table]")
{
    auto plan = sample_plan();
    plan.outcomes.at(0).uncertainty.reset();
    CHECK(outlet_cells(plan, 0).chance == "not known");
    plan.outcomes.at(0).uncertainty = OutletUncertainty{.fall = {.drains_share = 0.38}};
    CHECK(outlet_cells(plan, 0).chance == "38 %");
    CHECK_THAT(report_text(plan), Contains("Chance it drains"));
}

TEST_CASE("a table within a width keeps every word and no line is wider", "[first_table]")
{
    const std::vector<std::vector<std::string>> rows{
        {"1", "Storm inlet at the far west corner of the lot", "works", "roof ask, sump unstated, footing unstated"},
        {"2", "Curb", "refused", "yes"}};
    std::vector<std::string> wanted;
    for (const auto& row : rows) {
        for (const auto& cell : row) {
            std::istringstream in(cell);
            for (std::string word; in >> word;) {
                wanted.push_back(word);
            }
        }
    }
    for (const std::size_t width : {110U, 70U, 50U, 44U}) {
        const auto text = fitted_table(rows, {}, width);
        for (const auto& line : lines_of(text)) {
            CHECK(line.size() <= width);
        }
        std::istringstream in(text);
        std::vector<std::string> found;
        for (std::string word; in >> word;) {
            found.push_back(word);
        }
        CHECK_THAT(found, Catch::Matchers::UnorderedEquals(wanted));
    }
    CHECK(fitted_table(rows, {}, 110) == text_table(rows, {}));
}

namespace {

/// Ground rising evenly from a lid at elevation 10, whose pipe leaves 0.3 m under it; 0.15 m of cover, 0.1 m of pipe.
ProfileProblem from_lid(double rise_ratio, double length_m)
{
    ProfileProblem problem;
    problem.ground = {{.station_m = 0, .elev_m = 10}, {.station_m = length_m, .elev_m = 10 + rise_ratio * length_m}};
    problem.section = {.width_m = 0.3, .outside_diameter_m = 0.1, .wall_m = 0, .bedding_m = 0.05};
    problem.min_cover_m = {{.span = {0, length_m}, .value = 0.15}};
    problem.dig_cost_per_m3 = {{.span = {0, length_m}, .value = 1}};
    problem.lowest_outlet_invert_elev_m = 9.7;
    problem.highest_outlet_invert_elev_m = 9.7;
    problem.highest_source_invert_elev_m = problem.ground.back().elev_m;
    problem.min_fall_ratio = 0.01;
    problem.deepest_cut_m = 5;
    problem.stick_length_m = 3;
    problem.min_joint_saving = 1;
    return problem;
}

} // namespace

TEST_CASE("the spare fall of a pop-up is fall, not the depth of its own riser", "[first_table]")
{
    // 20 m rising 5 %: the highest invert at the wall is 11 - 0.15 - 0.1 = 10.75; the least-fall line comes up at
    // 9.7 + 0.01 x 20 = 9.9. At the lid its own depth leaves 0.3 - 0.15 - 0.1 = 0.05, whatever the ground does.
    const auto steep = extra_fall(from_lid(0.05, 20), true);
    CHECK(steep.room_m == Approx(0.85));
    CHECK(steep.station_m == Approx(20));
    CHECK(extra_fall(from_lid(0.05, 20), false).room_m == Approx(0.05));
    // Ground that rises less than the least fall takes room away from the lid on: 0.05 + (0.008 - 0.01) x 20 at the
    // wall.
    CHECK(extra_fall(from_lid(0.008, 20), true).room_m == Approx(0.01));
    // A low place on the way leaves less than the wall does.
    auto dip = from_lid(0.05, 20);
    dip.ground = {{.station_m = 0, .elev_m = 10},
                  {.station_m = 5, .elev_m = 10.5},
                  {.station_m = 10, .elev_m = 10.2},
                  {.station_m = 20, .elev_m = 11}};
    const auto low = extra_fall(dip, true);
    CHECK(low.station_m == Approx(10));
    CHECK(low.room_m == Approx(10.2 - 0.25 - 9.8)); // 9.7 + 0.01 x 10
}

TEST_CASE("a text that would steer a terminal or is not UTF-8 is found, any other is not", "[text]")
{
    // RFC 3629, section 4: the least and greatest of each length, and what its grammar leaves out.
    for (const std::string good : {"", "tab\tand\nline", "\xC2\xA0", "\xDF\xBF", "\xE0\xA0\x80", "\xEF\xBF\xBF",
                                   "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF", "\xED\x9F\xBF"}) {
        CHECK_FALSE(text_fault(good));
    }
    for (const std::string bad : {"\x80", "\xC0\xAF", "\xC1\xBF", "\xE0\x9F\xBF", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF",
                                  "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "a\xE2\x82", "\xC3("}) {
        CHECK(text_fault(bad) == "is not UTF-8");
    }
    // ISO/IEC 6429: C0 with escape, DEL, C1.
    CHECK(text_fault("\x1B[31m") == "holds a control character, code 27");
    CHECK(text_fault("a\x7F") == "holds a control character, code 127");
    CHECK(text_fault("\xC2\x9B") == "holds a control character, code 155");
}
