#include "profile_problems.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/passing.hpp"

#include <catch2/catch.hpp>
#include <limits>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

/// Level ground at 100 over 20 m, outlet invert 98.8 to 99.2, pipe of 110 mm, cover 0.3 m, cut up to 2 m.
ProfileProblem lawn()
{
    auto problem = problem_over({{0, 100}, {20, 100}});
    problem.lowest_outlet_invert_elev_m = 98.8;
    problem.highest_outlet_invert_elev_m = 99.2;
    problem.deepest_cut_m = 2;
    problem.bend_stations_m = {5, 15};
    return problem;
}

KnownLine line_at(double station_m, double top_elev_m, double height_m, double gap_m, bool hard = true)
{
    return {.mark = 0,
            .station_m = station_m,
            .span = {station_m - 0.1, station_m + 0.1},
            .top_elev_m = top_elev_m,
            .bottom_elev_m = top_elev_m - height_m,
            .gap_m = gap_m,
            .hard = hard};
}

/// Least vertical distance of pipe and facility over the span, by slices; negative where they meet.
double sliced_gap(const ProfileProblem& problem, const Profile& profile, const KnownLine& known)
{
    double over = std::numeric_limits<double>::infinity();
    double under = over;
    for (int i = 0; i <= 400; ++i) {
        const double at = known.span.from_m + (known.span.to_m - known.span.from_m) * i / 400;
        const double underside = invert_at_m(profile.points, at) - problem.section.wall_m;
        over = std::min(over, underside - known.top_elev_m);
        under = std::min(under, known.bottom_elev_m - (underside + problem.section.outside_diameter_m));
    }
    return std::max(over, under);
}

double price_of(const ProfileProblem& problem, const Profile& profile)
{
    double joints = 0;
    for (std::size_t i = 1; i + 1 < profile.points.size(); ++i) {
        const bool bend = std::ranges::any_of(problem.bend_stations_m, [&](double station) {
            return std::abs(station - profile.points[i].station_m) < 1e-9;
        });
        joints += bend ? 0 : 1;
    }
    return profile.dig_cost + joints * problem.min_joint_saving;
}

/// Every combination of over and under, each laid with its limits written out here.
std::optional<double> cheapest_by_enumeration(const ProfileProblem& problem, const std::vector<KnownLine>& known)
{
    std::optional<double> best;
    const auto& s = problem.section;
    for (unsigned ways = 0; ways < 1U << known.size(); ++ways) {
        auto limited = problem;
        for (std::size_t i = 0; i < known.size(); ++i) {
            InvertLimit limit{.span = known[i].span};
            if ((ways >> i & 1U) != 0) {
                limit.lowest_elev_m = known[i].top_elev_m + known[i].gap_m + s.wall_m;
            } else {
                limit.highest_elev_m = known[i].bottom_elev_m - known[i].gap_m - (s.outside_diameter_m - s.wall_m);
            }
            limited.limits.push_back(limit);
        }
        const auto laid = lay_profile(limited);
        if (const auto* profile = std::get_if<Profile>(&laid)) {
            best = std::min(best.value_or(std::numeric_limits<double>::infinity()), price_of(problem, *profile));
        }
    }
    return best;
}

} // namespace

TEST_CASE("a pipe that keeps its gaps is left as it is", "[passing]")
{
    const auto problem = lawn();
    const Profile plain = std::get<Profile>(lay_profile(problem));
    const auto laid = lay_past(problem, std::vector{line_at(10, 98.4, 0.1, 0.3), line_at(12, 99.99, 0.02, 0.1)});
    CHECK(std::get<LaidPast>(laid).profile == plain);
    CHECK(std::get<LaidPast>(laid).limits.empty());
}

TEST_CASE("a pipe goes down under a shallow line by just the gap", "[passing]")
{
    const auto problem = lawn();
    const Profile plain = std::get<Profile>(lay_profile(problem));
    const double invert = invert_at_m(plain.points, 10);
    // Its top lies where the pipe wants to be, and the ground is too near above: 0.3 m cover leaves no way over.
    const auto shallow = line_at(10, invert + 0.1, 0.1, 0.3);
    const auto under = std::get<LaidPast>(lay_past(problem, std::vector{shallow}));
    const auto passed = passing(problem.section, under.profile.points, shallow);
    CHECK_FALSE(passed.over);
    CHECK(passed.gap_m == Approx(sliced_gap(problem, under.profile, shallow)).margin(1e-9));
    CHECK(passed.gap_m >= 0.3 - 1e-9);
    CHECK(passed.gap_m <= 0.3 + 2e-3); // inverts go in steps of a millimeter
    // A line far below a pipe is passed over, by the pipe's underside less its top.
    const auto deep = line_at(10, 98, 0.1, 0.3);
    const auto over = passing(problem.section, std::vector<GradePoint>{{0, 99}, {20, 99.4}}, deep);
    CHECK(over.over);
    CHECK(over.gap_m == Approx(99 + 0.02 * 9.9 - 0.003 - 98)); // at the lower end of the stretch
}

TEST_CASE("where neither way is left a hard gap bars the line by figures, and a soft one is given up", "[passing]")
{
    auto problem = lawn();
    problem.deepest_cut_m = 0.9;
    problem.lowest_outlet_invert_elev_m = 99.2;
    const auto at = [&](bool hard) { return line_at(10, 99.5, 0.1, 0.5, hard); };
    const auto barred = std::get<NoWayPast>(lay_past(problem, std::vector{at(true)}));
    // Over it: invert 99.5 + 0.5 + 0.003. Cover allows 100 - 0.3 - 0.11 + 0.003 = 99.593 at the source, and the pipe
    // falls from there by 1 % over 10.1 m to the facility's lower end.
    CHECK(barred.over_short_m == Approx(100.003 - (99.593 - 0.101)).margin(1e-9));
    // Under it: invert 99.4 - 0.5 - 0.11 + 0.003 = 98.793 at the least; the least-fall line from the outlet's lowest
    // invert lies at 99.2 + 0.01 x 10.1 where the facility ends.
    CHECK(barred.under_short_m == Approx(99.2 + 0.101 - 98.793).margin(1e-9));
    const auto given_up = std::get<LaidPast>(lay_past(problem, std::vector{at(false)}));
    CHECK(given_up.profile == std::get<Profile>(lay_profile(problem)));
    CHECK(given_up.limits.empty());
}

TEST_CASE("what lay_profile refuses is refused alike with facilities in the way", "[passing]")
{
    auto problem = lawn();
    problem.lowest_outlet_invert_elev_m = problem.highest_outlet_invert_elev_m = 99.58;
    const auto plain = std::get<Refusal>(lay_profile(problem));
    CHECK(std::get<Refusal>(lay_past(problem, std::vector{line_at(10, 99, 0.1, 0.3)})) == plain);
}

TEST_CASE("random facilities: gaps by slices, the cheapest of all ways by enumeration", "[passing]")
{
    std::mt19937_64 dice(77);
    int moved = 0;
    int barred = 0;
    int raised = 0;
    for (int round = 0; round < 150; ++round) {
        auto problem = random_problem(dice);
        problem.invert_step_m = 0.004;
        const double length = problem.ground.back().station_m;
        std::vector<KnownLine> known;
        for (int left = whole(dice, 1, 3); left > 0; --left) {
            const double station = uniform(dice, 0, length);
            const double ground = ground_at_m(problem.ground, station);
            known.push_back(
                line_at(station, ground - uniform(dice, 0.1, 1.4), uniform(dice, 0, 0.15), uniform(dice, 0, 0.35)));
        }
        const auto laid = lay_past(problem, known);
        if (std::holds_alternative<Refusal>(laid)) {
            CHECK(std::holds_alternative<Refusal>(lay_profile(problem)));
            continue;
        }
        const auto best = cheapest_by_enumeration(problem, known);
        if (const auto* past = std::get_if<LaidPast>(&laid)) {
            for (const auto& facility : known) {
                CHECK(sliced_gap(problem, past->profile, facility) >= facility.gap_m - 1e-6);
            }
            REQUIRE(best.has_value());
            CHECK(price_of(problem, past->profile) == Approx(*best).epsilon(1e-3));
            moved += past->limits.empty() ? 0 : 1;
            raised += std::ranges::any_of(past->limits, [](const auto& limit) { return limit.lowest_elev_m > 0; });
        } else {
            CHECK_FALSE(best.has_value());
            CHECK(std::get<NoWayPast>(laid).over_short_m >= 0);
            CHECK(std::get<NoWayPast>(laid).under_short_m >= 0);
            ++barred;
        }
    }
    CHECK(moved > 20);
    CHECK(barred > 10);
    CHECK(raised > 0);
}

TEST_CASE("a facility whose figures contradict each other is our own mistake", "[passing]")
{
    const double no_number = std::numeric_limits<double>::quiet_NaN();
    for (const auto& wrong : {line_at(10, no_number, 0.1, 0.3), line_at(10, 99, -0.1, 0.3), line_at(10, 99, 0.1, -0.3),
                              line_at(10, 99, 0.1, no_number), line_at(no_number, 99, 0.1, 0.3)}) {
        CHECK_THROWS_AS(lay_past(lawn(), std::vector{wrong}), Error);
    }
}
