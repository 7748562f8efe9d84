#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/cleanouts.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <numbers>
#include <random>

using namespace trenchwright;

namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double ft = 0.3048;

Bend bend_at(double station_m, double degrees)
{
    Bend bend;
    bend.station_m = station_m;
    bend.angle_rad = degrees * degree;
    return bend;
}

/// docs/sources.md, J4, J5: 50 ft, 45 deg, 40 ft served.
CleanoutRules trade()
{
    return {.spacing_m = 50 * ft, .max_turn_rad = 45 * degree, .served_m = 40 * ft};
}

std::vector<double> stations_ft(const std::vector<Cleanout>& cleanouts)
{
    std::vector<double> stations;
    for (const auto& cleanout : cleanouts) {
        stations.push_back(cleanout.station_m / ft);
    }
    return stations;
}

} // namespace

TEST_CASE("a short straight trench has one cleanout, at its upper end", "[cleanouts]")
{
    const auto placed = cleanouts({{0, 0}, {40 * ft, 0}}, {}, trade());
    REQUIRE(placed.size() == 1);
    CHECK(placed[0].reason == CleanoutReason::upper_end);
    CHECK(placed[0].at == Point{40 * ft, 0});
    // Exactly at the spacing nothing more is asked.
    CHECK(cleanouts({{0, 0}, {50 * ft, 0}}, {}, trade()).size() == 1);
    CHECK(cleanouts({{0, 0}, {50.01 * ft, 0}}, {}, trade()).size() == 2);
}

TEST_CASE("a long trench has them evenly, none farther from the next than the spacing", "[cleanouts]")
{
    // 120 ft: three stretches of 40 ft, cleanouts at 120, 80 and 40.
    const auto placed = cleanouts({{0, 0}, {120 * ft, 0}}, {}, trade());
    const auto stations = stations_ft(placed);
    REQUIRE(stations.size() == 3);
    CHECK(stations[0] == Approx(40));
    CHECK(stations[1] == Approx(80));
    CHECK(stations[2] == Approx(120));
    CHECK(placed[0].reason == CleanoutReason::spacing);
    CHECK(placed[1].at.x_m == Approx(80 * ft));
    // At 100 ft, as for pipe over 4 in, two stretches of 60 ft.
    auto wide = trade();
    wide.spacing_m = 100 * ft;
    CHECK(stations_ft(cleanouts({{0, 0}, {120 * ft, 0}}, {}, wide)).front() == Approx(60));
}

TEST_CASE("bends ask for a cleanout where their sum passes the limit", "[cleanouts]")
{
    auto rules = trade();
    rules.spacing_m = 300 * ft;
    const Polyline line{{0, 0}, {200 * ft, 0}};
    // From the upper end at 200 down: 45 deg at 150 (counted, 45), 22.5 at 100 (67.5: cleanout), 45 at 70: served.
    const auto placed = cleanouts(line, {bend_at(70 * ft, 45), bend_at(100 * ft, 22.5), bend_at(150 * ft, 45)}, rules);
    const auto stations = stations_ft(placed);
    REQUIRE(stations.size() == 2);
    CHECK(stations[0] == Approx(100));
    CHECK(stations[1] == Approx(200));
    CHECK(placed[0].reason == CleanoutReason::bends);
    // Served bends do not count: both within 40 ft of the upper end.
    CHECK(cleanouts(line, {bend_at(165 * ft, 90), bend_at(180 * ft, 90)}, rules).size() == 1);
    // One serves all turns in 40 ft and no more: the bend at 159 lies 41 ft below.
    CHECK(cleanouts(line, {bend_at(159 * ft, 90)}, rules).size() == 2);
    // A turn of exactly 45 deg needs none (IPC: over 45).
    CHECK(cleanouts(line, {bend_at(100 * ft, 45)}, rules).size() == 1);
}

TEST_CASE("a cleanout moves out of a stretch it may not stand in, by the shorter way that keeps the rules",
          "[cleanouts]")
{
    const Polyline line{{0, 0}, {120 * ft, 0}}; // at 40, 80 and 120 ft
    const auto with = [&](double from_ft, double to_ft, const CleanoutRules& rules) {
        return stations_ft(cleanouts(line, {}, rules, {{from_ft * ft, to_ft * ft}}));
    };
    CHECK(with(39, 43, trade()).front() == Approx(39)); // 1 ft down, not 3 ft up
    CHECK(with(37, 42, trade()).front() == Approx(42));
    CHECK(with(26, 47, trade()).front() == Approx(47)); // 7 ft up, 47 ft from the outlet
    CHECK(with(20, 55, trade()).front() == Approx(40)); // 55 ft would be too far from the outlet, 20 ft from the next
    CHECK(with(75, 84, trade())[1] == Approx(84));
    CHECK(with(118, 122, trade()).back() == Approx(120)); // the one at the source stays
    auto tight = trade();
    tight.spacing_m = 40 * ft; // all three as far apart as may be
    CHECK(with(39, 43, tight).front() == Approx(40));
}

TEST_CASE("no random trench breaks the spacing or the turn rule, and each bend cleanout was needed", "[cleanouts]")
{
    std::mt19937 random(11);
    std::uniform_real_distribution<double> share(0, 1);
    for (int i = 0; i < 500; ++i) {
        const double length_m = 1 + 120 * share(random);
        std::vector<double> stations;
        for (int n = 0; n < 8; ++n) {
            stations.push_back(length_m * share(random));
        }
        std::ranges::sort(stations);
        std::vector<Bend> bends;
        for (const double station_m : stations) {
            bends.push_back(bend_at(station_m, 90 * share(random)));
        }
        const CleanoutRules rules{.spacing_m = 5 + 30 * share(random),
                                  .max_turn_rad = (20 + 100 * share(random)) * degree,
                                  .served_m = 10 * share(random)};
        const double kept_m = length_m * share(random);
        const auto placed = cleanouts({{0, 0}, {length_m, 0}}, bends, rules, {{kept_m, kept_m + 3 * share(random)}});
        REQUIRE(placed.back().station_m == length_m);
        double below_m = 0;
        for (const auto& cleanout : placed) {
            CHECK(cleanout.station_m - below_m <= rules.spacing_m + 1e-5);
            // The sum below this cleanout, down to the next one, of bends that it does not serve.
            double turned_rad = 0;
            for (const auto& bend : bends) {
                const double down_m = cleanout.station_m - bend.station_m;
                turned_rad += bend.station_m > below_m && down_m > std::max(rules.served_m, 1e-6) ? bend.angle_rad : 0;
            }
            CHECK(turned_rad <= rules.max_turn_rad + 1e-9);
            below_m = cleanout.station_m;
        }
    }
}

TEST_CASE("cleanout rules that are no numbers stop", "[cleanouts]")
{
    const double no_number = std::numeric_limits<double>::quiet_NaN();
    for (const auto& [spacing, turn, served] : {std::tuple{0.0, 1.0, 1.0}, std::tuple{no_number, 1.0, 1.0},
                                                std::tuple{1.0, no_number, 1.0}, std::tuple{1.0, 1.0, -1.0}}) {
        const CleanoutRules rules{.spacing_m = spacing, .max_turn_rad = turn, .served_m = served};
        CHECK_THROWS_AS(cleanouts({{0, 0}, {9, 0}}, {}, rules), Error);
    }
}

TEST_CASE("the shipped rules are those of the trade list", "[cleanouts]")
{
    const auto rules = default_rules().cleanouts;
    CHECK(rules.spacing_m == Approx(50 * ft));
    CHECK(rules.max_turn_rad == Approx(45 * degree));
    CHECK(rules.served_m == Approx(40 * ft));
}
