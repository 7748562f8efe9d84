#include "export_fixture.hpp"
#include "plan/first_table.hpp"
#include "plan/report.hpp"

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
    trench.reaches = std::move(reaches);
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
    plan.outcomes.at(0).doubt.reset();
    CHECK(outlet_cells(plan, 0).chance == "not known");
    plan.outcomes.at(0).doubt = OutletDoubt{.fall = {.drains_share = 0.38}};
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
