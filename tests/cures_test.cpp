#include "draw_yard.hpp"
#include "trenchwright/plan/cure_trials.hpp"
#include "trenchwright/plan/cures.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

namespace trenchwright {

namespace {

using test::shot_ground;
using test::square_m;

/// One source and one outlet on a lot, with what planning them asks for.
struct Lot {
    Site site;
    Ground ground;
    Rules rules = default_rules();
};

std::variant<TrenchPlan, Refusal> planned(const Lot& lot)
{
    const RoutePreps preps(lot.site, lot.ground, lot.rules);
    return plan_trench(preps, lot.site, lot.ground, lot.rules, 0, 0);
}

/// The outcome as the job has it: refused, made exact, with its cures.
OutletOutcome with_help(const Lot& lot)
{
    OutletOutcome outcome;
    outcome.by_source.push_back(planned(lot));
    const RoutePreps preps(lot.site, lot.ground, lot.rules);
    const auto book = settings_book(lot.rules);
    const std::optional<FootingWork> footing;
    return with_cures(std::move(outcome), preps,
                      {.site = lot.site, .rules = lot.rules, .book = book, .footing = footing}, lot.ground);
}

const Refusal& refusal_of(const OutletOutcome& outcome)
{
    return std::get<Refusal>(outcome.by_source.at(0));
}

const Cure* find(const OutletOutcome& outcome, CureKind kind)
{
    const auto found = std::ranges::find(outcome.cures, kind, &Cure::kind);
    return found == outcome.cures.end() ? nullptr : &*found;
}

Site lot_site(double width_m, double height_m)
{
    Site site;
    site.parcel.push_back({.outer = {{.x_m = -3, .y_m = -3},
                                     {.x_m = width_m + 3, .y_m = -3},
                                     {.x_m = width_m + 3, .y_m = height_m + 3},
                                     {.x_m = -3, .y_m = height_m + 3}},
                           .holes = {}});
    site.sources.push_back({});
    site.sources[0].id = "DS-1";
    site.outlets.push_back({});
    site.outlets[0].id = "out";
    site.outlets[0].permission[Water::roof] = Permission::yes;
    return site;
}

/// Bumpy ground, some keep-outs between source and outlet, and an outlet that takes the pipe too high to drain.
Lot random_lot(unsigned seed)
{
    std::mt19937 random(seed);
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    constexpr double width = 16;
    constexpr double height = 12;
    const double slope_x = between(-0.02, 0.02);
    const double slope_y = between(-0.02, 0.02);
    const double bump = between(0, 0.15);
    const double phase = between(0, 6);
    const auto elev = [=](const Point& p) {
        return 20 + slope_x * p.x_m + slope_y * p.y_m + bump * std::sin(0.7 * p.x_m + phase) * std::cos(0.5 * p.y_m);
    };
    Lot lot{.site = lot_site(width, height), .ground = shot_ground(width, height, elev)};
    lot.site.sources[0].at = {.x_m = between(0, 3), .y_m = between(0, height)};
    const Point end{.x_m = between(12, width), .y_m = between(0, height)};
    for (int i = 0; i < 3; ++i) {
        lot.site.keep_outs.push_back({.id = "K" + std::to_string(i),
                                      .reason = "bed",
                                      .area = square_m(between(4, 9), between(0, height - 2), between(1, 2.5)),
                                      .origin = {}});
    }
    lot.site.outlets[0].place = end;
    lot.site.outlets[0].lowest_invert_elev_m = elev(end) - between(0.25, 0.45);
    return lot;
}

/// 12 m from one side of level lawn to the other.
Lot level_lot()
{
    Lot lot{.site = lot_site(14, 6), .ground = shot_ground(14, 6, [](const Point&) { return 20.0; })};
    lot.site.sources[0].at = {.x_m = 1, .y_m = 3};
    lot.site.outlets[0].place = Point{.x_m = 13, .y_m = 3};
    lot.rules.route.min_fall_ratio = 0.02;
    lot.rules.cures.min_fall_ratio = 0.005;
    return lot;
}

/// Highest invert at the wall of a level lot: the lowest cover that lawn takes, and the pipe below it.
double highest_at_wall_m(const Lot& lot)
{
    const auto& section = lot.rules.route.section;
    return 20 - lot.rules.route.surfaces.at("lawn").lowest_cover_m - section.outside_diameter_m + section.wall_m;
}

constexpr double tenth_in_m = 0.00254;

} // namespace

TEST_CASE("the missing fall is exact on 50 refused yards: that much lower and it drains, a little less and not",
          "[cures]")
{
    int refused = 0;
    for (unsigned seed = 0; refused < 50 && seed < 1000; ++seed) {
        auto lot = random_lot(seed);
        lot.rules.cures.look = false; // the figure alone
        const auto first = planned(lot);
        const auto* refusal = std::get_if<Refusal>(&first);
        if (refusal == nullptr || refusal->kind != RefusalKind::falls_short) {
            continue;
        }
        ++refused;
        const double missing = refusal_of(with_help(lot)).short_by_m.value();
        INFO("seed " << seed << ": " << missing << " m, the search says " << refusal->short_by_m.value());
        const double stated = *lot.site.outlets[0].lowest_invert_elev_m;
        lot.site.outlets[0].lowest_invert_elev_m = stated - missing;
        CHECK(std::holds_alternative<TrenchPlan>(planned(lot)));
        lot.site.outlets[0].lowest_invert_elev_m = stated - (missing - 0.005);
        CHECK(std::holds_alternative<Refusal>(planned(lot)));
    }
    CHECK(refused == 50);
}

TEST_CASE("on a level lawn every change that helps follows from fall times length", "[cures]")
{
    auto lot = level_lot();
    const double lacks = 0.03;
    // The pipe comes down 2 % of 12 m; the outlet takes it 30 mm higher than that.
    const double arrives = highest_at_wall_m(lot) - 0.02 * 12;
    lot.site.outlets[0].lowest_invert_elev_m = arrives + lacks;
    const auto outcome = with_help(lot);
    CHECK(refusal_of(outcome).kind == RefusalKind::falls_short);
    CHECK(*refusal_of(outcome).short_by_m == Approx(lacks).margin(tenth_in_m));

    const auto* cover = find(outcome, CureKind::less_cover);
    REQUIRE(cover != nullptr);
    CHECK(cover->of == "lawn");
    // Each is the least: it gains what lacks, and a step less would not.
    CHECK(*cover->from_m - *cover->to_m >= lacks - 1e-6);
    CHECK(*cover->from_m - *cover->to_m < lacks + tenth_in_m);

    const auto* fall = find(outcome, CureKind::less_fall);
    REQUIRE(fall != nullptr);
    CHECK(*fall->to_ratio <= 0.02 - lacks / 12 + 1e-6); // 1.75 %
    CHECK(*fall->to_ratio > 0.02 - lacks / 12 - 0.0001);

    const auto* lower = find(outcome, CureKind::outlet_lowered);
    REQUIRE(lower != nullptr);
    CHECK(*lower->from_m - *lower->to_m >= lacks - 1e-6);
    CHECK(*lower->from_m - *lower->to_m < lacks + tenth_in_m);
    CHECK(*lower->from_m == Approx(arrives + lacks).margin(1e-6));

    const auto* raised = find(outcome, CureKind::ground_raised);
    REQUIRE(raised != nullptr);
    CHECK(*raised->to_m == Approx(lacks).margin(tenth_in_m)); // most at the wall, where the pipe lies highest
    CHECK_FALSE(raised->price);

    // 3 in pipe is 1 in less than 4.215 in across: more than 30 mm? 4.215 - 3.25 in = 24.5 mm, so it does not help.
    CHECK(find(outcome, CureKind::smaller_pipe) == nullptr);
    const auto* pump = find(outcome, CureKind::pumped);
    REQUIRE(pump != nullptr);
    CHECK(pump->price);
    CHECK(std::ranges::is_sorted(outcome.cures, {}, &Cure::kind));
}

TEST_CASE("the opening in the wall is the cause where it lies below what the cover takes", "[cures]")
{
    auto lot = level_lot();
    const double opening = highest_at_wall_m(lot) - 0.10;
    lot.site.sources[0].highest_invert_elev_m = opening;
    lot.site.outlets[0].lowest_invert_elev_m = opening - 0.02 * 12 + 0.05; // 50 mm too high
    const auto outcome = with_help(lot);
    CHECK(*refusal_of(outcome).short_by_m == Approx(0.05).margin(tenth_in_m));
    CHECK(refusal_of(outcome).text.find("highest invert at the wall") != std::string::npos);
    const auto* opened = find(outcome, CureKind::opening_raised);
    REQUIRE(opened != nullptr);
    CHECK(*opened->to_m - opening >= 0.05 - 1e-6);
    CHECK(*opened->to_m - opening < 0.05 + tenth_in_m);
    CHECK(find(outcome, CureKind::less_cover) == nullptr); // the cover is not what decides
    CHECK(find(outcome, CureKind::ground_raised) == nullptr);
}

TEST_CASE("a cut that is too deep names the limit that would do", "[cures]")
{
    // A bank 1 m high over the middle 6 m: the pipe runs on under it.
    auto lot = level_lot();
    lot.ground = shot_ground(14, 6, [](const Point& p) { return 20.0 + std::max(0.0, 1 - std::abs(p.x_m - 7) / 3); });
    lot.site.outlets[0].lowest_invert_elev_m = 19.3;
    lot.rules.route.deepest_cut_m = 0.9;
    const auto outcome = with_help(lot);
    CHECK(refusal_of(outcome).kind == RefusalKind::too_deep);
    const auto* deeper = find(outcome, CureKind::cut_deepened);
    REQUIRE(deeper != nullptr);
    lot.rules.route.deepest_cut_m = *deeper->to_m;
    CHECK(std::holds_alternative<TrenchPlan>(planned(lot)));
    lot.rules.route.deepest_cut_m = *deeper->to_m - tenth_in_m;
    CHECK(std::holds_alternative<Refusal>(planned(lot)));
    CHECK(deeper->price);
}

TEST_CASE("a way closed by a keep-out names it and whose leave would open it", "[cures]")
{
    auto lot = level_lot();
    lot.site.outlets[0].lowest_invert_elev_m = 19.0;
    lot.site.keep_outs.push_back(
        {.id = "K1",
         .reason = "pool",
         .area = {.outer = {{.x_m = 6, .y_m = -4}, {.x_m = 8, .y_m = -4}, {.x_m = 8, .y_m = 10}, {.x_m = 6, .y_m = 10}},
                  .holes = {}},
         .origin = {}});
    const auto outcome = with_help(lot);
    CHECK(refusal_of(outcome).kind == RefusalKind::blocked);
    REQUIRE(outcome.help.at(0).closed_by.size() == 1);
    CHECK(outcome.help[0].closed_by[0].name == "keep-out K1 (pool)");
    const auto* gone = find(outcome, CureKind::objects_gone);
    REQUIRE(gone != nullptr);
    CHECK(gone->text == "leave to pass the keep-out K1 (pool)");

    // A surface that is closed opens by its own rule.
    auto paved = level_lot();
    paved.site.outlets[0].lowest_invert_elev_m = 19.0;
    paved.site.surfaces.push_back({.kind = "patio", .area = lot.site.keep_outs[0].area, .origin = {}});
    paved.rules.route.surfaces["patio"].may_enter = false;
    const auto closed = with_help(paved);
    const auto* opened = find(closed, CureKind::surface_opened);
    REQUIRE(opened != nullptr);
    paved.rules.route.surfaces["patio"].may_enter = true;
    CHECK(std::holds_alternative<TrenchPlan>(planned(paved)));
}

TEST_CASE("a setback and a pop-up's place are changed by no more than they must be", "[cures]")
{
    auto lot = level_lot();
    lot.ground = shot_ground(14, 6, [](const Point& p) { return 20 - 0.03 * p.x_m; });
    auto& outlet = lot.site.outlets[0];
    outlet.kind = OutletKind::popup;
    outlet.setback_lot_line_m = 5; // the place is 4 m from the lot's right edge at x = 17
    const auto outcome = with_help(lot);
    CHECK(refusal_of(outcome).kind == RefusalKind::setback);
    const auto* eased = find(outcome, CureKind::setback_eased);
    REQUIRE(eased != nullptr);
    CHECK(*eased->to_m <= 4 + 1e-9);
    CHECK(*eased->to_m > 4 - tenth_in_m);
    const auto* moved = find(outcome, CureKind::outlet_moved);
    REQUIRE(moved != nullptr);
    CHECK(*moved->to_m == Approx(1.0).margin(0.251)); // 1 m away from the edge, in steps of 0.25 m
    REQUIRE(moved->at);
    CHECK(17 - moved->at->x_m >= 5 - 1e-6);
}

TEST_CASE("the least number of steps is found from any guess", "[cures]")
{
    for (int from = 1; from <= 40; ++from) {
        for (int guess = 1; guess <= 40; ++guess) {
            int calls = 0;
            const int found = least_steps(guess, 40, [&](int steps) {
                ++calls;
                return steps >= from;
            });
            CHECK(found == from);
            CHECK(calls <= 14);
        }
    }
    CHECK(least_steps(3, 40, [](int) { return false; }) == 0);
    CHECK(least_steps(1, 0, [](int) { return true; }) == 0);
}

} // namespace trenchwright
