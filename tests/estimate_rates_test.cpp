#include "trenchwright/base/error.hpp"
#include "trenchwright/estimate/estimate.hpp"
#include "trenchwright/job/rates_reader.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <numeric>
#include <random>
#include <unistd.h>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

namespace fs = std::filesystem;

/// Round figures, so that every step can be done by hand.
RateBook simple_book()
{
    RateBook book;
    book.file = "rates.toml";
    book.trades["laborer"] = {.per_hour = {.low = 30, .likely = 40, .high = 50}, .date = "2026-01-01"};
    book.trades["machine"] = {.per_hour = {.low = 60, .likely = 60, .high = 80}, .date = "2026-01-01"};
    book.items["hand_dig"] = {.price = {},
                              .hours = {.low = 2, .likely = 3, .high = 5},
                              .crew = {{"laborer", 1}},
                              .least = 0,
                              .date = "2026-01-01"};
    book.items["machine_dig"] = {.price = {},
                                 .hours = {.low = 0.5, .likely = 0.5, .high = 1},
                                 .crew = {{"laborer", 2}, {"machine", 1}},
                                 .least = 0,
                                 .date = "2026-01-01"};
    book.items["pipe"] = {.price = {.low = 8, .likely = 10, .high = 13},
                          .hours = {.low = 0.1, .likely = 0.1, .high = 0.1},
                          .crew = {{"laborer", 1}},
                          .least = 0,
                          .date = "2026-01-01"};
    book.day_hours = 8;
    return book;
}

std::vector<Measured> simple_work()
{
    return {{.key = "machine_dig", .detail = "", .trench = "D1", .quantity = 4, .stations = {{0, 10}}},
            {.key = "hand_dig", .detail = "", .trench = "D1", .quantity = 0.5, .stations = {{10, 12}}},
            {.key = "hand_dig", .detail = "", .trench = "D2", .quantity = 1.5, .stations = {{3, 8}}},
            {.key = "pipe", .detail = "", .trench = "D1", .quantity = 12, .stations = {}}};
}

JobNode node_of(const std::string& text)
{
    const auto folder = fs::path(TRENCHWRIGHT_BINARY_DIR) / ("rates_test-" + std::to_string(getpid()));
    fs::create_directories(folder);
    std::ofstream(folder / "rates.toml") << text;
    struct Gone {
        fs::path path;
        ~Gone() { fs::remove_all(path); }
    } const gone{folder};
    return read_job_node(folder / "rates.toml");
}

const std::string smallest = R"(currency = "USD"
date = "2026-01-15"
[trades.laborer]
rate = ["30", "40", "50"]
[items.hand_dig]
hours = ["2/yd3", "3/yd3", "5/yd3"]
crew = { laborer = 2 }
)";

} // namespace

TEST_CASE("an estimate worked by hand, every step", "[rates]")
{
    auto book = simple_book();
    book.overhead_share = 0.10;
    book.margin_share = 0.20;
    book.tax_share = 0.05;
    book.tax_on_all = true;
    const auto made = estimate(simple_work(), book, 12500);
    REQUIRE(made.lines.size() == 8);
    // Machine: likely 0.5 h/m3 of two labourers at 40 and a machine at 60 is 0.5 * 140 = 70 per m3; 4 m3 are 280.00.
    // Low 0.5 * (2 * 30 + 60) = 60, so 240.00; high 1 * (2 * 50 + 80) = 180, so 720.00.
    CHECK(made.lines[0].cents == CentSpread{24000, 28000, 72000});
    // Hand: 2 * 30 = 60, 3 * 40 = 120, 5 * 50 = 250 per m3; half a cubic meter and one and a half.
    CHECK(made.lines[1].cents == CentSpread{3000, 6000, 12500});
    CHECK(made.lines[2].cents == CentSpread{9000, 18000, 37500});
    // Pipe: 8 + 0.1 * 30 = 11, 10 + 4 = 14, 13 + 5 = 18 per m; 12 m.
    CHECK(made.lines[3].cents == CentSpread{13200, 16800, 21600});
    // Likely: 280 + 60 + 180 + 168 = 688.00; overhead 68.80; margin 0.2 * 756.80 = 151.36; tax 0.05 * 908.16 = 45.408;
    // fee 125.00: 688 + 68.80 + 151.36 + 45.41 + 125 = 1078.57.
    CHECK(made.likely.lines == 68800);
    CHECK(made.likely.overhead == 6880);
    CHECK(made.likely.margin == 15136);
    CHECK(made.likely.tax == 4541);
    CHECK(made.likely.fee == 12500);
    CHECK(made.likely.total() == 107857);
    // Low: 240 + 30 + 90 + 132 = 492; 49.20; 108.24; tax of 649.44 is 32.472; 125: 806.91.
    CHECK(made.low.total() == 49200 + 4920 + 10824 + 3247 + 12500);
    // High: 720 + 125 + 375 + 216 = 1436; 143.60; 315.92; tax of 1895.52 is 94.776; 125: 2115.30.
    CHECK(made.high.total() == 143600 + 14360 + 31592 + 9478 + 12500);
    // Apart: up from likely, machine 440, hand 65 + 195 = 260 together, pipe 48: root of 193600 + 67600 + 2304 =
    // root of 263504 = 513.326...; down 40, 30 + 90 = 120, 36: root of 1600 + 14400 + 1296 = root of 17296 = 131.514...
    CHECK(made.independent_high.lines == 68800 + 51333);
    CHECK(made.independent_low.lines == 68800 - 13151);
    // Hours, likely: crew 4 * 0.5 + 2 * 3 + 12 * 0.1 = 9.2; labourers 2 * 2 + 6 + 1.2 = 11.2; machine 2.
    CHECK(made.crew_hours.likely == Approx(9.2));
    CHECK(made.trade_hours.at("laborer").likely == Approx(11.2));
    CHECK(made.trade_hours.at("machine").likely == Approx(2));
    CHECK(made.days.likely == Approx(9.2 / 8));
    CHECK(made.lines[2].stations == std::vector<Interval>{{3, 8}});
    CHECK(made.lines[2].trench == "D2");
    // What is on top is four lines of the job as a whole; a trench's price is what its own lines come to.
    CHECK(made.lines[4].cents == CentSpread{4920, 6880, 14360});
    CHECK(line_key(made.lines[4]) == "overhead");
    CHECK(line_key(made.lines[5]) == "markup");
    CHECK(line_key(made.lines[6]) == "tax");
    CHECK(line_key(made.lines[7]) == "permit_fee");
    CHECK(trench_cents(made, "D1") ==
          CentSpread{40200, 50800, 106100}); // 240 + 30 + 132, 280 + 60 + 168, 720 + 125 + 216
    CHECK(trench_cents(made, "D2") == CentSpread{9000, 18000, 37500});
    CHECK(trench_cents(made, "").likely == 6880 + 15136 + 4541 + 12500);
    CHECK(total_cents(made) == CentSpread{made.low.total(), 107857, made.high.total()});
}

TEST_CASE("tax on materials is on what is no hours", "[rates]")
{
    auto book = simple_book();
    book.tax_share = 0.06;
    // Only the pipe's price is material: 12 m at 10 is 120.00, and 6 % of it 7.20.
    CHECK(estimate(simple_work(), book, 0).likely.tax == 720);
}

TEST_CASE("a kind of item and a job cost at least their least charge", "[rates]")
{
    auto book = simple_book();
    book.items["hand_dig"].least = 300; // its lines come to 120.00, 240.00 and 500.00
    const auto made = estimate(simple_work(), book, 0);
    REQUIRE(made.lines.size() == 5);
    CHECK(made.lines[4].name == "Minimum-charge adjustment: Hand dig");
    CHECK(line_key(made.lines[4]) == "minimum.hand_dig");
    CHECK(made.lines[4].cents == CentSpread{18000, 6000, 0});
    book.items["hand_dig"].least = 0;
    book.min_charge = 700; // lines: 492.00, 688.00, 1436.00
    const auto whole = estimate(simple_work(), book, 0);
    CHECK(whole.low.least == 20800);
    CHECK(whole.likely.least == 1200);
    CHECK(whole.high.least == 0);
    CHECK(whole.likely.total() == 70000);
    REQUIRE(whole.lines.size() == 5);
    CHECK(line_key(whole.lines[4]) == "minimum_charge");
    CHECK(whole.lines[4].cents == CentSpread{20800, 1200, 0});
}

TEST_CASE("soil and depth change the hours of digging and of nothing else", "[rates]")
{
    auto book = simple_book();
    book.soil_hours_factor = 1.5;
    auto work = simple_work();
    work[1].depth_hours_factor = 2;
    const auto made = estimate(work, book, 0);
    CHECK(made.lines[0].cents.likely == 42000); // 280 * 1.5
    CHECK(made.lines[1].cents.likely == 18000); // 60 * 1.5 * 2
    CHECK(made.lines[2].cents.likely == 27000); // 180 * 1.5
    CHECK(made.lines[3].cents.likely == 16800);
}

TEST_CASE("a quantity without a rate is said to be not priced, once", "[rates]")
{
    auto work = simple_work();
    work.push_back({.key = "restore.patio", .detail = "patio", .trench = "D1", .quantity = 2, .stations = {}});
    work.push_back({.key = "restore.patio", .detail = "patio", .trench = "D2", .quantity = 3, .stations = {}});
    work.push_back({.key = "wye", .detail = "", .trench = "D2", .quantity = 0, .stations = {}});
    const auto made = estimate(work, simple_book(), 0);
    work.push_back({.key = "expose", .detail = "", .trench = "D1", .stations = {}, .known = false});
    CHECK(made.not_priced ==
          std::vector<NotPriced>{{.item = "restore.patio", .name = "Restore patio", .why = NoPrice::no_rate}});
    // A quantity that nobody knows has no price either, rate or none, and that is another reason.
    const auto unknown = estimate(work, simple_book(), 0);
    REQUIRE(unknown.not_priced.size() == 2);
    CHECK(unknown.not_priced[1].item == "expose");
    CHECK(unknown.not_priced[1].why == NoPrice::unknown_quantity);
    CHECK(total_cents(unknown) == total_cents(made));
    CHECK(made.likely.lines == 68800);
    for (const double bad : {-1.0, std::numeric_limits<double>::quiet_NaN()}) {
        work[0].quantity = bad;
        CHECK_THROWS_AS(estimate(work, simple_book(), 0), Error);
    }
}

TEST_CASE("sums are exact to the cent and a higher rate never lowers a price", "[rates]")
{
    std::mt19937_64 dice(5);
    const auto some = [&](double most) { return static_cast<double>(dice() % 100000) / 100000 * most; };
    for (int i = 0; i < 200; ++i) {
        auto book = simple_book();
        book.overhead_share = some(0.3);
        book.margin_share = some(0.3);
        book.tax_share = some(0.2);
        book.tax_on_all = i % 2 == 0;
        book.min_charge = i % 3 == 0 ? some(2000) : 0;
        book.items["pipe"].least = i % 5 == 0 ? some(500) : 0;
        auto work = simple_work();
        for (auto& item : work) {
            item.quantity = some(20);
        }
        const auto made = estimate(work, book, 1234);
        const auto sum = [&](Cents CentSpread::* part) {
            return std::accumulate(made.lines.begin(), made.lines.end(), Cents{0},
                                   [&](Cents so_far, const EstimateLine& line) { return so_far + line.cents.*part; });
        };
        CHECK(made.low.total() == sum(&CentSpread::low));
        CHECK(made.likely.total() == sum(&CentSpread::likely));
        CHECK(made.high.total() == sum(&CentSpread::high));
        auto parts = trench_cents(made, "");
        parts += trench_cents(made, "D1");
        parts += trench_cents(made, "D2");
        CHECK(parts == total_cents(made));
        CHECK(made.low.total() <= made.independent_low.total());
        CHECK(made.independent_low.total() <= made.likely.total());
        CHECK(made.likely.total() <= made.independent_high.total());
        CHECK(made.independent_high.total() <= made.high.total());
        auto dearer = book;
        const auto raise = [&](Spread& spread) { spread = spread * (1 + some(1)); };
        switch (i % 4) {
        case 0: raise(dearer.trades["laborer"].per_hour); break;
        case 1: raise(dearer.items["hand_dig"].hours); break;
        case 2: raise(dearer.items["pipe"].price); break;
        default: dearer.overhead_share += 0.01; break;
        }
        const auto more = estimate(work, dearer, 1234);
        CHECK(more.low.total() >= made.low.total());
        CHECK(more.likely.total() >= made.likely.total());
        CHECK(more.high.total() >= made.high.total());
    }
}

TEST_CASE("a rates file is read with its units, spreads, crews and dates", "[rates]")
{
    const auto book = rates_from(node_of(smallest + R"(
date = "2026-03-03"
[items.restore.lawn]
price = "2 USD/ft2"
[charges]
overhead = "12 %"
tax_on = "all"
[soils]
clay = "1.4"
)"),
                                 "clay", "USD");
    const auto& hand = book.items.at("hand_dig");
    CHECK(hand.date == "2026-03-03"); // a key after the table belongs to it
    CHECK(hand.crew.at("laborer") == 2);
    // 1 yd3 is 0.764554857984 m3 (27 ft3, the foot 0.3048 m): 3 h per yd3 by two labourers at 40.
    CHECK(unit_rate(book, hand).likely == Approx(3 / 0.764554857984 * 80));
    CHECK(unit_rate(book, hand, 1.4).high == Approx(5 / 0.764554857984 * 1.4 * 100));
    CHECK(book.items.at("restore.lawn").price.low == Approx(2 / 0.09290304));
    CHECK(book.items.at("restore.lawn").date == "2026-01-15");
    CHECK(book.overhead_share == Approx(0.12));
    CHECK(book.tax_on_all);
    CHECK(soil_factor(book, "hand_dig") == Approx(1.4));
    CHECK(soil_factor(book, "pipe") == 1);
}

TEST_CASE("a wrong rates file is refused with its line", "[rates]")
{
    const auto refused = [](const std::string& text, const std::string& why, const std::string& soil = "") {
        INFO(text);
        CHECK_THROWS_WITH(rates_from(node_of(text), soil, "USD"), Contains("rates.toml:") && Contains(why));
    };
    const auto with = [](const std::string& from, const std::string& to) {
        auto text = smallest;
        text.replace(text.find(from), from.size(), to);
        return text;
    };
    refused(with("\"USD\"", "\"EUR\""), "currency is \"EUR\", the job's is USD");
    refused(with("\"40\"", "\"60\""), "must not fall");
    refused(with(", \"50\"]", "]"), "has 2 figures");
    refused(with("3/yd3", "3/ft"), "cannot be read");
    refused(with("3/yd3", "nan/yd3"), "cannot be read");
    refused(with("3/yd3", "-3/yd3"), "out of range");
    refused(with("laborer = 2", "labrer = 2"), "did you mean \"laborer\"?");
    refused(with("hand_dig", "hand_dug"), "did you mean \"hand_dig\"?");
    refused(with("crew = { laborer = 2 }", ""), "hours and crew need each other");
    refused(with("date = \"2026-01-15\"\n", ""), "needs a date");
    refused(smallest, "soil \"clay\" has no factor", "clay");
    refused(smallest + "[charges]\ntax_on = \"labour\"\n", "must be one of: all|materials");
    refused(smallest + "[[depths]]\nfrom = \"4 ft\"\nhours_factor = 2\n[[depths]]\nfrom = \"3 ft\"\nhours_factor = 2\n",
            "depths must rise");
}

TEST_CASE("rates are changed from the command line, one figure or three", "[rates]")
{
    auto node = node_of(smallest);
    const std::vector<RuleText> changes{{"trades.laborer.rate", "44", ""},
                                        {"items.hand_dig.hours", "1/yd3,2/yd3,4/yd3", ""},
                                        {"items.expose.price", "75", ""},
                                        {"items.expose.date", "2026-04-01", ""}};
    change_rates(node, changes);
    const auto book = rates_from(node, "", "USD");
    CHECK(book.trades.at("laborer").per_hour == Spread{44, 44, 44});
    CHECK(book.items.at("hand_dig").hours.high == Approx(4 / 0.764554857984));
    CHECK(book.items.at("expose").price.likely == 75);
}

TEST_CASE("the settings' rates are a book of one figure each, which leaves the route's rates as they are", "[rates]")
{
    auto rules = default_rules();
    const auto before = rules;
    const auto book = settings_book(rules);
    price_route_by_rates(rules, book);
    CHECK(rules == before);
    for (const auto& kind : rate_kinds()) {
        INFO(kind.key);
        const std::string key(kind.key);
        CHECK((rate_for(book, key) != nullptr) != book.included.contains(key)); // nothing that is bought is free
    }
    for (const auto& [key, rate] : book.items) {
        INFO(key);
        CHECK(rate.price.low > 0);
        CHECK(rate.price.low == rate.price.high);
        CHECK(rate.hours == Spread{});
    }
    // The 3 in pipe alone is 1 per ft cheaper than the 4 in pipe that rates.pipe stands for: 6 - 1 = 5 per ft.
    CHECK(rate_for(book, "pipe_4in")->price.likely == Approx(6 / 0.3048));
    CHECK(rate_for(book, "pipe_3in")->price.likely == Approx(5 / 0.3048));
}

TEST_CASE("the rates that choose the route are the likely ones of the file", "[rates]")
{
    auto rules = default_rules();
    const auto before = rules;
    auto book = simple_book();
    book.soil_hours_factor = 2;
    price_route_by_rates(rules, book);
    CHECK(rules.route.hand_per_m3 == Approx(240));    // 3 h * 40, twice the hours
    CHECK(rules.route.machine_per_m3 == Approx(140)); // 0.5 h * 140, twice
    CHECK(rules.route.pipe_per_m == Approx(14));
    CHECK(rules.route.hand_per_m == 0);                               // digging is priced by volume alone
    CHECK(rules.route.crossing_price == before.route.crossing_price); // not in the file
    book.items["bedding"] = {.price = {.low = 1, .likely = 50, .high = 60}, .hours = {}, .crew = {}, .date = "d"};
    price_route_by_rates(rules, book);
    const auto& section = rules.route.section;
    CHECK(rules.route.pipe_per_m == Approx(14 + 50 * section.width_m * section.bedding_m));
}

TEST_CASE("the sample rates file can be read and says that it is a sample", "[rates]")
{
    const auto file = fs::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / "rates" / "sample-us.toml";
    const auto book = rates_from(read_job_node(file), "", "USD");
    CHECK(book.sample);
    CHECK(book.items.size() > 25);
    for (const auto& [key, rate] : book.items) {
        INFO(key);
        const auto money = unit_rate(book, rate);
        CHECK(money.low <= money.likely);
        CHECK(money.likely <= money.high);
    }
}
