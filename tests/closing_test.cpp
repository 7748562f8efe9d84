#include "draw_yard.hpp"
#include "trenchwright/route/closing.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <queue>
#include <random>

namespace trenchwright {

namespace {

using test::draw_yard;

/// Whether an end is reached without entering any thing but those let through. Plain breadth-first.
bool opens(const ClosedYard& yard, unsigned let_through)
{
    const auto free = [&](int cell) {
        const auto& things = yard.closed_by[static_cast<std::size_t>(cell)];
        return std::ranges::all_of(things, [&](int thing) { return (let_through >> thing & 1U) != 0; });
    };
    std::vector<char> seen(yard.closed_by.size(), 0);
    std::queue<int> open;
    const auto reach = [&](int cell) {
        if (free(cell) && seen[static_cast<std::size_t>(cell)] == 0) {
            seen[static_cast<std::size_t>(cell)] = 1;
            open.push(cell);
        }
    };
    std::ranges::for_each(yard.starts, reach);
    while (!open.empty()) {
        const int cell = open.front();
        open.pop();
        for (int dr = -1; dr <= 1; ++dr) {
            for (int dc = -1; dc <= 1; ++dc) {
                const int row = cell / yard.cols + dr;
                const int col = cell % yard.cols + dc;
                if (row >= 0 && row < yard.rows && col >= 0 && col < yard.cols) {
                    reach(row * yard.cols + col);
                }
            }
        }
    }
    return std::ranges::any_of(yard.ends, [&](int end) { return seen[static_cast<std::size_t>(end)] != 0; });
}

int weight_of(const ClosedYard& yard, unsigned things)
{
    int weight = 0;
    for (std::size_t i = 0; i < yard.weight.size(); ++i) {
        weight += (things >> i & 1U) != 0 ? yard.weight[i] : 0;
    }
    return weight;
}

/// Least weight of all sets of things that open a way.
int least_weight(const ClosedYard& yard)
{
    int least = 1 << 30;
    for (unsigned set = 0; set < 1U << yard.weight.size(); ++set) {
        const int weight = weight_of(yard, set);
        if (weight < least && opens(yard, set)) {
            least = weight;
        }
    }
    return least;
}

/// Walls across the yard and blocks, some of one thing in several places.
ClosedYard random_closed_yard(unsigned seed)
{
    std::mt19937 random(seed);
    const auto below = [&](unsigned n) { return static_cast<int>(random() % n); };
    ClosedYard yard{.cols = 9, .rows = 7, .closed_by = {}, .weight = {}, .starts = {0}, .ends = {9 * 7 - 1}};
    yard.closed_by.resize(9 * 7);
    for (int thing = 0; thing < 7; ++thing) {
        yard.weight.push_back(thing == 0 ? 3 : 1);
        for (int part = 0; part < 2; ++part) {
            const bool wall = below(2) == 0;
            const int across = 1 + below(7);
            const int from = below(5);
            for (int row = 0; row < 7; ++row) {
                for (int col = 0; col < 9; ++col) {
                    const bool in_wall = wall && col == across;
                    const bool in_block = !wall && row >= from && row < from + 3 && col >= across && col < across + 3;
                    auto& things = yard.closed_by[static_cast<std::size_t>(row * 9 + col)];
                    if ((in_wall || in_block) && std::ranges::find(things, thing) == things.end()) {
                        things.push_back(thing);
                    }
                }
            }
        }
    }
    return yard;
}

} // namespace

TEST_CASE("the fewest things that close a yard are those of all sets, tried one by one", "[closing]")
{
    int closed = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
        const auto yard = random_closed_yard(seed);
        const auto way = least_closed(yard, 1'000'000);
        REQUIRE(way);
        unsigned things = 0;
        for (const int thing : way->things) {
            things |= 1U << static_cast<unsigned>(thing);
        }
        INFO("seed " << seed);
        CHECK(opens(yard, things));
        CHECK(weight_of(yard, things) == least_weight(yard));
        closed += way->things.size() > 1 ? 1 : 0;
    }
    CHECK(closed > 50); // not all are trivial
}

TEST_CASE("of two ways out a source is told the one through fewer things", "[closing]")
{
    // Shut in by one wall to the right; two more stand beyond it to the left and above.
    auto yard = draw_yard(R"(
        . . . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . .
        . . . S . . . . . . . . . . . O . .
        . . . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . .
    )",
                          [](const Point& p) { return 20 - 0.03 * p.x_m; });
    const auto wall = [](double x_m) {
        return Polygon{.outer = {{.x_m = x_m, .y_m = -3},
                                 {.x_m = x_m + 0.5, .y_m = -3},
                                 {.x_m = x_m + 0.5, .y_m = 8},
                                 {.x_m = x_m, .y_m = 8}},
                       .holes = {}};
    };
    yard.site.keep_outs.push_back({.id = "K1", .reason = "pool", .area = wall(8), .origin = {}});
    const Point end = std::get<Point>(yard.site.outlets[0].place);
    const auto found = closing_objects(yard.site, yard.ground, yard.site.sources[0].at, std::span(&end, 1), yard.rules);
    REQUIRE(found.size() == 1);
    CHECK(found[0].kind == ObstacleKind::keep_out);
    CHECK(found[0].name == "keep-out K1 (pool)");
    CHECK(found[0].at.x_m == Approx(8).margin(0.6)); // entered from its near side
    auto opened = yard.site;
    auto rules = yard.rules;
    take_away(found[0], opened);
    take_away(found[0], rules);
    CHECK(closing_objects(opened, yard.ground, yard.site.sources[0].at, std::span(&end, 1), rules).empty());
    yard.site.keep_outs.push_back({.id = "K2", .reason = "shed", .area = wall(12), .origin = {}});
    CHECK(closing_objects(yard.site, yard.ground, yard.site.sources[0].at, std::span(&end, 1), yard.rules).size() == 2);
}

} // namespace trenchwright
