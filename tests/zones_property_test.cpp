#include "profile_problems.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <catch2/catch.hpp>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

/// A random lot of 30 m by 30 m: marks of any kind of bend, trees, a trench with bends of at most a right angle.
struct RandomLot {
    Site site;
    Polyline line;
    RouteRules rules;

    explicit RandomLot(std::mt19937_64& dice)
    {
        rules.section = {.width_m = uniform(dice, 0.15, 0.6), .outside_diameter_m = 0.11, .wall_m = 0.003};
        rules.tolerance_m = uniform(dice, 0.3, 1.3);
        rules.tree_factor = 15;
        const auto place = [&] { return Point{uniform(dice, 0, 30), uniform(dice, 0, 30)}; };
        for (int left = whole(dice, 1, 5); left > 0; --left) {
            Mark mark;
            for (int k = whole(dice, 2, 5); k > 0; --k) {
                mark.line.push_back(place());
            }
            if (whole(dice, 0, 1) == 1) {
                mark.width_m = uniform(dice, 0.02, 0.5);
            }
            mark.position_accuracy_m = uniform(dice, 0, 0.4);
            site.marks.push_back(mark);
        }
        for (int left = whole(dice, 0, 2); left > 0; --left) {
            Tree tree;
            tree.at = place();
            tree.trunk_diameter_m = uniform(dice, 0.05, 0.2);
            site.trees.push_back(tree);
        }
        line = {place()};
        double heading = uniform(dice, 0, 6.28);
        for (int left = whole(dice, 2, 6); left > 0; --left) {
            const double run = uniform(dice, 0.5, 9);
            line.push_back({line.back().x_m + run * std::cos(heading), line.back().y_m + run * std::sin(heading)});
            heading += uniform(dice, -std::numbers::pi / 2, std::numbers::pi / 2);
        }
    }

    /// How far a place lies inside the nearest reach; below 0 outside all of them.
    [[nodiscard]] double inside_by_m(const Point& p) const
    {
        double most = -1e9;
        for (const auto& mark : site.marks) {
            const double reach =
                mark.width_m.value_or(0) / 2 + rules.tolerance_m + mark.position_accuracy_m.value_or(0);
            for (std::size_t i = 1; i < mark.line.size(); ++i) {
                most = std::max(most, reach - distance_m(p, mark.line[i - 1], mark.line[i]));
            }
        }
        for (const auto& tree : site.trees) {
            most = std::max(most, rules.tree_factor * tree.trunk_diameter_m - distance_m(p, tree.at));
        }
        return most;
    }
};

/// A place in the trench's width beside its axis.
Point in_trench(const Polyline& line, double station_m, double offset_m)
{
    double start = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        if (station_m <= start + run || i + 1 == line.size()) {
            const double along = (station_m - start) / run;
            const double ux = (line[i].x_m - line[i - 1].x_m) / run;
            const double uy = (line[i].y_m - line[i - 1].y_m) / run;
            return {line[i - 1].x_m + along * run * ux - offset_m * uy,
                    line[i - 1].y_m + along * run * uy + offset_m * ux};
        }
        start += run;
    }
    return line.back();
}

} // namespace

TEST_CASE("no machine-dig meter lies within a tolerance zone by exact distance: 200 random lots", "[zones]")
{
    std::mt19937_64 dice(20260314);
    long long sampled = 0;
    long long within = 0;
    long long near = 0;
    long long by_hand = 0;
    for (int round = 0; round < 200; ++round) {
        const RandomLot lot(dice);
        const double length = length_m(lot.line);
        std::vector<Interval> hand;
        for (const auto& zone : hand_dig_zones(lot.site, lot.line, lot.rules)) {
            hand.push_back(zone.span);
        }
        for (const auto& machine : minus({{0, length}}, hand)) {
            const auto samples = static_cast<int>(20 + 30 * (machine.to_m - machine.from_m));
            for (int i = 0; i < samples; ++i) {
                const double station = uniform(dice, machine.from_m, machine.to_m);
                const double side = whole(dice, 0, 2) - 1.0; // both edges and a place between
                const double offset = side != 0 ? side * 0.5 : uniform(dice, -0.5, 0.5);
                const Point p = in_trench(lot.line, station, offset * lot.rules.section.width_m);
                const double inside = lot.inside_by_m(p);
                ++sampled;
                within += inside > 1e-9 ? 1 : 0;
                near += inside > -0.3 ? 1 : 0;
            }
        }
        for (const auto& zone : hand) {
            const double middle = (zone.from_m + zone.to_m) / 2;
            by_hand += lot.inside_by_m(in_trench(lot.line, middle, 0)) > -1 ? 1 : 0;
        }
    }
    INFO(sampled << " sampled, " << near << " of them within 0.3 m of a zone");
    CHECK(sampled >= 10000);
    CHECK(within == 0);
    CHECK(near > 500); // the samples do come near to zones
    CHECK(by_hand > 100);
}

TEST_CASE("no place of the trench within a mark's reach lies outside its area, at round ends neither", "[zones]")
{
    std::mt19937_64 dice(4711);
    long long within = 0;
    long long at_round_ends = 0;
    for (int round = 0; round < 200; ++round) {
        const RandomLot lot(dice);
        const double length = length_m(lot.line);
        const double width = lot.rules.section.width_m;
        std::vector<std::vector<Polygon>> areas(lot.site.marks.size());
        for (const auto& [mark, span] : mark_stretches(lot.site, lot.line, lot.rules)) {
            const auto more = trench_area(lot.line, span, width);
            areas[mark].insert(areas[mark].end(), more.begin(), more.end());
        }
        for (int i = 0; i < 300; ++i) {
            const Point p = in_trench(lot.line, uniform(dice, 0, length), uniform(dice, -0.5, 0.5) * width);
            for (std::size_t m = 0; m < lot.site.marks.size(); ++m) {
                const auto& mark = lot.site.marks[m];
                const double reach =
                    mark.width_m.value_or(0) / 2 + lot.rules.tolerance_m + mark.position_accuracy_m.value_or(0);
                const double away = distance_m(p, mark.line);
                if (!(away < reach - 1e-6)) {
                    continue;
                }
                ++within;
                const bool held = std::ranges::any_of(areas[m], [&](const Polygon& area) {
                    return contains(area, p) || boundary_distance_m(p, area) < 1e-6;
                });
                CHECK(held);
                // A round buffer of 8 segments a quadrant is a polygon inside the true circle, by up to
                // 1 - cos(90 deg / 16) of its radius (GEOS's own construction): such places it may lose.
                const double corner = std::min(distance_m(p, mark.line.front()), distance_m(p, mark.line.back()));
                at_round_ends += std::abs(corner - away) < 1e-9 && away > reach * std::cos(std::numbers::pi / 32);
            }
        }
    }
    INFO(within << " within reach, " << at_round_ends << " of them where a buffer falls short");
    CHECK(within > 3000);
    CHECK(at_round_ends > 0);
}

TEST_CASE("the area of a stretch is its length times the width, through bends too", "[zones]")
{
    // At a mitred bend the outer corner adds what the two runs share at the inner side: half width squared x tan(turn /
    // 2).
    for (const double degrees : {0.0, 22.5, 45.0, 90.0}) {
        const double turn = degrees * std::numbers::pi / 180;
        const Polyline line{{0, 0}, {6, 0}, {6 + 5 * std::cos(turn), 5 * std::sin(turn)}};
        double sum = 0;
        for (const auto& area : trench_area(line, {2, 9}, 0.4)) {
            sum += area_m2(area);
        }
        CHECK(sum == Approx(7 * 0.4).epsilon(1e-9));
    }
    CHECK(trench_area({{0, 0}, {6, 0}}, {3, 3}, 0.4).empty());
    // Ends a hand's breadth past a right-angled bend: the first run's rectangle stays whole.
    const auto end = trench_area({{0, 0}, {6, 0}, {6, 5}}, {4, 6.05}, 0.4);
    REQUIRE(end.size() == 1);
    for (const Point& p : {Point{5.99, 0.19}, Point{5.99, -0.19}, Point{6.19, -0.19}, Point{6.19, 0.04}}) {
        CHECK(contains(end[0], p));
    }
    CHECK_FALSE(contains(end[0], {6.1, 0.06}));
}
