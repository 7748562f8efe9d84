#include "export_fixture.hpp"
#include "trenchwright/plan/break_even.hpp"
#include "trenchwright/plan/choices.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_uncertainty.hpp"
#include "trenchwright/plan/supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/compare_jobs.hpp"
#include "trenchwright/report/report.hpp"

#include <catch2/catch.hpp>
#include <sstream>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;

namespace {

Choice choice_at(Cents likely, double hand_m, double drains_share)
{
    Choice choice;
    choice.works = true;
    choice.variant = "as planned";
    choice.price = {.low = likely, .likely = likely, .high = likely};
    choice.has_hours = true;
    choice.crew_hours = {.low = 8, .likely = 8, .high = 8};
    choice.lead_time_days = 10;
    choice.hand_m = hand_m;
    choice.spare_m = 0.1;
    choice.drains_share = drains_share;
    return choice;
}

/// Words of a paper, wherever its lines break.
std::string on_one_line(const std::string& text)
{
    std::istringstream words(text);
    std::string line;
    for (std::string word; words >> word;) {
        line += (line.empty() ? "" : " ") + word;
    }
    return line;
}

/// Hand digging at 100 and machine digging at 1 a cubic meter.
RateBook two_rates()
{
    RateBook book;
    book.items["hand_dig"].price = {.low = 100, .likely = 100, .high = 100};
    book.items["machine_dig"].price = {.low = 1, .likely = 1, .high = 1};
    return book;
}

OutletOutcome outcome_of(std::size_t outlet, double hand_m3, double other_m3)
{
    OutletOutcome outcome;
    outcome.outlet = outlet;
    outcome.works = true;
    outcome.estimate =
        estimate({{.key = "hand_dig", .detail = "", .trench = "D1", .quantity = hand_m3, .stations = {}},
                  {.key = "machine_dig", .detail = "", .trench = "D1", .quantity = other_m3, .stations = {}}},
                 two_rates(), 0);
    outcome.total_cents = total_cents(*outcome.estimate).likely;
    return outcome;
}

/// Two outlets that dig by hand 10 and 2 cubic meters and pay 500 and 1700 for the rest.
JobPlan two_outlets()
{
    auto plan = sample_plan();
    plan.job.rules.units = UnitSystem::metric;
    plan.job.rates = two_rates();
    for (auto& outlet : plan.site.outlets) {
        outlet.fee_cents = 0;
    }
    plan.outcomes = {outcome_of(1, 10, 500), outcome_of(0, 2, 1700)};
    return plan;
}

} // namespace

TEST_CASE("a choice is dominated by one that is as good in all and better in something", "[choices]")
{
    std::vector<Choice> choices{choice_at(100000, 5, 0.9), choice_at(120000, 5, 0.9), choice_at(120000, 4, 0.9),
                                choice_at(90000, 5, 0.5), choice_at(100000, 5, 0.9)};
    choices[1].outlet = 1;
    mark_dominated(choices, {"Curb", "Yard"});
    CHECK(choices[0].dominated_by.empty());
    CHECK(choices[1].dominated_by == "Curb, as planned"); // dearer, else alike
    CHECK(choices[2].dominated_by.empty());               // dearer, less hand digging
    CHECK(choices[3].dominated_by.empty());               // cheaper, less sure
    CHECK(choices[4].dominated_by.empty());               // alike in everything: neither dominates
}

TEST_CASE("a line that stands full, water that ponds or a pipe too small dominates no outlet without", "[choices]")
{
    for (const int fault : {0, 1, 2, 3}) {
        std::vector<Choice> choices{choice_at(50000, 2, 0.95), choice_at(100000, 5, 0.9)};
        choices[0].stands_full = fault == 1;
        choices[0].ponds = fault == 2;
        choices[0].pipe_step = fault == 3 ? 2 : 0;
        mark_dominated(choices, {"Curb"});
        INFO(fault);
        CHECK(choices[1].dominated_by.empty() == (fault > 0));
    }
    // Where both have the fault it decides nothing.
    std::vector<Choice> both{choice_at(50000, 2, 0.95), choice_at(100000, 5, 0.9)};
    both[0].ponds = both[1].ponds = true;
    mark_dominated(both, {"Curb"});
    CHECK(both[1].dominated_by == "Curb, as planned");
}

TEST_CASE("the word dominated says what it does not weigh", "[choices]")
{
    auto plan = two_outlets();
    plan.choices = {choice_at(100000, 5, 0.9), choice_at(90000, 5, 0.9)};
    mark_dominated(plan.choices, {"Curb", "Yard"});
    CHECK_THAT(on_one_line(choices_text(plan)), Contains("Beaten on every count") && Contains("Not weighed: frost"));
    plan.choices[0].hand_m = 1;
    mark_dominated(plan.choices, {"Curb", "Yard"});
    CHECK_THAT(on_one_line(choices_text(plan)),
               Contains("No option beats another on every count") && Contains("Not weighed: frost"));
}

TEST_CASE("an error of the ground that rounds to nothing is not printed as nothing", "[choices]")
{
    CHECK(error_text(0.0254, UnitSystem::us) == "1.0 in");
    CHECK(error_text(0.0001, UnitSystem::us) == "less than 0.1 in");
    CHECK(error_text(0.0001, UnitSystem::metric) == "less than 1 mm");
    CHECK(error_text(0, UnitSystem::us) == "0.0 in");
}

TEST_CASE("what is not known counts as worst, and a refused outlet neither dominates nor is dominated", "[choices]")
{
    std::vector<Choice> choices{choice_at(100000, 5, 0.9), choice_at(100000, 5, 0.9), choice_at(100, 0, 1)};
    choices[1].drains_share.reset();
    choices[2].works = false;
    mark_dominated(choices, {"Curb"});
    CHECK(choices[0].dominated_by.empty());
    CHECK(choices[1].dominated_by == "Curb, as planned");
    CHECK(choices[2].dominated_by.empty());
}

TEST_CASE("the break-even rate is where the two sums meet", "[choices]")
{
    // 10 r + 500 = 2 r + 1700 at r = 150; the rest at k times its rate: 1000 + 500 k = 200 + 1700 k at k = 2/3.
    const auto sentences = break_even(two_outlets());
    REQUIRE(sentences.size() == 2);
    CHECK(sentences[0] == "Curb, Tansy Row stays cheaper than Street inlet 7 until \"Hand dig\" exceeds 150.00 USD per "
                          "m3 (now 100.00).");
    CHECK_THAT(sentences[1], Contains("\"Machine dig\" falls below 0.67 USD per m3 (now 1.00)"));
}

TEST_CASE("where no single rate turns the order, that is said", "[choices]")
{
    auto plan = two_outlets();
    plan.outcomes[1] = outcome_of(0, 10, 600); // alike but for the rest, which is dearer at any rate
    const auto sentences = break_even(plan);
    REQUIRE(sentences.size() == 1);
    CHECK_THAT(sentences[0], Contains("whatever one single rate is"));
    plan.outcomes[1].works = false;
    CHECK(break_even(plan).empty());
}

TEST_CASE("a probability is never printed as certain", "[choices]")
{
    CHECK(probability_text(1) == "over 99 %");
    CHECK(probability_text(0) == "under 1 %");
    CHECK(probability_text(0.375) == "38 %");
}

TEST_CASE("two jobs of which one has no marks are never said to be the same", "[choices]")
{
    auto marked = two_outlets();
    marked.supplied = supplied_items(marked.site, marked.job);
    auto unmarked = two_outlets();
    unmarked.site.marks.clear();
    unmarked.supplied = supplied_items(unmarked.site, unmarked.job);
    const auto text = compare_text(marked, unmarked);
    CHECK_THAT(text, !Contains("Every setting is the same."));
    CHECK_THAT(text, Contains("B: Hand dig length") && Contains("were not supplied with the same"));
    CHECK(text.find("no marks supplied") < text.find("Likely")); // before any price
}

TEST_CASE("two jobs are compared outlet by outlet, with the settings that differ", "[choices]")
{
    const auto a = two_outlets();
    auto b = two_outlets();
    set_rule(b.job.rules, "dig.tolerance", "30 in");
    b.outcomes.pop_back();
    const auto text = compare_text(a, b);
    CHECK_THAT(text, Contains("A: best is Curb, Tansy Row, 1,500.00 USD.") && Contains("dig.tolerance"));
    CHECK_THAT(compare_text(a, a), Contains("Every setting is the same."));
    for (const auto& caution : cautions()) {
        CHECK_THAT(text, Contains(caution.substr(0, 40)));
    }
}
