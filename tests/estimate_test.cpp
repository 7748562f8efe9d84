#include "base/error.hpp"
#include "estimate/price.hpp"

#include <catch2/catch.hpp>
#include <functional>
#include <limits>
#include <numbers>
#include <numeric>
#include <random>

using namespace trenchwright;

namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

Bend bend_of(std::vector<double> fittings_deg, double price)
{
    Bend bend;
    bend.price = price;
    for (const double degrees : fittings_deg) {
        bend.fitting_angles_rad.push_back(degrees * std::numbers::pi / 180);
    }
    return bend;
}

Quantities some_quantities()
{
    Quantities q;
    q.length_m = 20;
    q.machine_length_m = 17;
    q.hand_length_m = 3;
    q.machine_cut_m3 = 5.125;
    q.hand_cut_m3 = 0.9;
    q.restore_m2 = {{"lawn", 10}, {"walk", 1.5}};
    return q;
}

RouteRules some_rates()
{
    RouteRules rates;
    rates.machine_per_m3 = 40;
    rates.machine_per_m = 2;
    rates.hand_per_m3 = 180;
    rates.hand_per_m = 5;
    rates.pipe_per_m = 12.5;
    rates.crossing_price = 75;
    rates.parallel_per_m = 1e6;
    rates.surfaces["lawn"].restore_per_m2 = 6;
    rates.surfaces["walk"].restore_per_m2 = 90;
    return rates;
}

const LineItem& item(const Price& price, const std::string& name)
{
    for (const auto& candidate : price.items) {
        if (candidate.name == name) {
            return candidate;
        }
    }
    FAIL("no item " << name);
    return price.items.front();
}

} // namespace

TEST_CASE("every line is quantity times rate and the total is their sum", "[estimate]")
{
    const auto result = price(some_quantities(), {bend_of({45}, 14), bend_of({45, 22.5}, 30), bend_of({45}, 14)}, 2,
                              some_rates(), {{"Mobilisation", 250}});
    CHECK(item(result, "Machine dig, by volume").cents == 20500); // 5.125 m3 at 40
    CHECK(item(result, "Machine dig, by length").cents == 3400);  // 17 m at 2
    CHECK(item(result, "Hand dig, by volume").cents == 16200);    // 0.9 m3 at 180
    CHECK(item(result, "Hand dig, by length").cents == 1500);     // 3 m at 5
    CHECK(item(result, "Pipe and bedding").cents == 25000);       // 20 m at 12.5
    CHECK(item(result, "Bend of 45 degrees").cents == 2800);      // 2 at 14
    CHECK(item(result, "Bend of 45 + 22.5 degrees").cents == 3000);
    CHECK(item(result, "Expose crossed utility").cents == 15000); // 2 at 75
    CHECK(item(result, "Restore lawn").cents == 6000);
    CHECK(item(result, "Restore walk").cents == 13500);
    CHECK(item(result, "Mobilisation").cents == 25000);
    CHECK(result.items.size() == 11);
    CHECK(result.total_cents == 20500 + 3400 + 16200 + 1500 + 25000 + 2800 + 3000 + 15000 + 6000 + 13500 + 25000);
}

TEST_CASE("each line is rounded to the cent once and the total not again", "[estimate]")
{
    // Three lines of 0.125 round to 0.13 each: the bill says 0.39, though the exact sum is 0.375.
    Quantities q;
    q.restore_m2 = {{"a", 1}, {"b", 1}, {"c", 1}};
    RouteRules rates;
    for (const auto* kind : {"a", "b", "c"}) {
        rates.surfaces[kind].restore_per_m2 = 0.125;
    }
    CHECK(price(q, {}, 0, rates, {}).total_cents == 39);
    std::mt19937_64 dice(3);
    for (int i = 0; i < 100; ++i) {
        auto some = some_quantities();
        some.machine_cut_m3 = static_cast<double>(dice() % 100000) / 977;
        some.length_m = static_cast<double>(dice() % 100000) / 1013;
        const auto result = price(some, {}, dice() % 4, some_rates(), {});
        const auto sum = std::accumulate(result.items.begin(), result.items.end(), Cents{0},
                                         [](Cents so_far, const LineItem& line) { return so_far + line.cents; });
        CHECK(result.total_cents == sum);
        for (const auto& line : result.items) {
            CHECK(std::abs(static_cast<double>(line.cents) - line.quantity * line.rate * 100) <= 0.5 + 1e-6);
        }
    }
}

TEST_CASE("what is not there has no line, what has no rate keeps its line at nothing", "[estimate]")
{
    Quantities q;
    q.length_m = 10;
    q.machine_length_m = 10;
    q.machine_cut_m3 = 3;
    const auto result = price(q, {bend_of({}, 0)}, 0, RouteRules{}, {});
    REQUIRE(result.items.size() == 3);
    CHECK(result.items[0].name == "Machine dig, by volume");
    CHECK(result.items[1].name == "Machine dig, by length");
    CHECK(result.items[2].name == "Pipe and bedding");
    CHECK(result.total_cents == 0);
}

TEST_CASE("a price refuses what is no quantity and no rate", "[estimate]")
{
    const auto fails = [](const std::function<void(Quantities&, RouteRules&)>& spoil) {
        auto quantities = some_quantities();
        auto rates = some_rates();
        CHECK_NOTHROW(price(quantities, {}, 0, rates, {}));
        spoil(quantities, rates);
        CHECK_THROWS_AS(price(quantities, {}, 0, rates, {}), Error);
    };
    for (const double bad : {no_number, -1.0}) {
        fails([&](auto& q, auto&) { q.machine_cut_m3 = bad; });
        fails([&](auto& q, auto&) { q.machine_length_m = bad; });
        fails([&](auto& q, auto&) { q.hand_cut_m3 = bad; });
        fails([&](auto& q, auto&) { q.hand_length_m = bad; });
        fails([&](auto& q, auto&) { q.length_m = bad; });
        fails([&](auto& q, auto&) { q.restore_m2["lawn"] = bad; });
        fails([&](auto&, auto& r) { r.machine_per_m3 = bad; });
        fails([&](auto&, auto& r) { r.machine_per_m = bad; });
        fails([&](auto&, auto& r) { r.hand_per_m3 = bad; });
        fails([&](auto&, auto& r) { r.hand_per_m = bad; });
        fails([&](auto&, auto& r) { r.pipe_per_m = bad; });
        fails([&](auto&, auto& r) { r.crossing_price = bad; });
        fails([&](auto&, auto& r) { r.surfaces["lawn"].restore_per_m2 = bad; });
    }
    fails([](auto& q, auto&) { q.restore_m2["gravel"] = 1; });
    CHECK_THROWS_AS(price(some_quantities(), {bend_of({45}, no_number)}, 0, some_rates(), {}), Error);
    CHECK_THROWS_AS(price(some_quantities(), {}, 0, some_rates(), {{"Mobilisation", no_number}}), Error);
}
