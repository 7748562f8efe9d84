#include "trenchwright/geom/box_index.hpp"
#include "trenchwright/geom/measure.hpp"

#include <catch2/catch.hpp>
#include <random>

using namespace trenchwright;

namespace {

Box random_box(std::mt19937& random)
{
    std::uniform_real_distribution<double> place(-50, 50);
    std::uniform_real_distribution<double> size(0, 5);
    const double x = place(random);
    const double y = place(random);
    return {.min_x_m = x, .min_y_m = y, .max_x_m = x + size(random), .max_y_m = y + size(random)};
}

/// The same by looking at every box.
std::vector<int> near_by_brute_force(const std::vector<Box>& boxes, const std::vector<bool>& in, const Box& asked)
{
    std::vector<int> ids;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        if (in[i] && overlap(boxes[i], asked)) {
            ids.push_back(static_cast<int>(i));
        }
    }
    return ids;
}

} // namespace

TEST_CASE("boxes are found where they lie, also after some were taken out", "[geom]")
{
    std::mt19937 random(20);
    std::vector<Box> boxes;
    std::vector<bool> in;
    BoxIndex index;
    std::size_t found = 0;
    for (int round = 0; round < 400; ++round) {
        boxes.push_back(random_box(random));
        in.push_back(true);
        index.insert(round, boxes.back());
        if (round % 3 == 2) {
            const auto gone = random() % boxes.size();
            if (in[gone]) {
                index.erase(static_cast<int>(gone), boxes[gone]);
                in[gone] = false;
            }
        }
        const auto asked = grown(random_box(random), 2);
        const auto expected = near_by_brute_force(boxes, in, asked);
        REQUIRE(index.near(asked) == expected);
        found += expected.size();
    }
    CHECK(found > 400);
}

TEST_CASE("boxes that only touch are near; an index with nothing in it has nothing near", "[geom]")
{
    BoxIndex index;
    CHECK(index.near({.min_x_m = 0, .min_y_m = 0, .max_x_m = 1, .max_y_m = 1}).empty());
    index.insert(7, {.min_x_m = 1, .min_y_m = 0, .max_x_m = 2, .max_y_m = 1});
    CHECK(index.near({.min_x_m = 0, .min_y_m = 0, .max_x_m = 1, .max_y_m = 1}) == std::vector<int>{7});
    CHECK(index.near({.min_x_m = 0, .min_y_m = 0, .max_x_m = 0.999, .max_y_m = 1}).empty());
}
