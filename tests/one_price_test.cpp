#include "profile_problems.hpp"
#include "trenchwright/draw/panel.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/job/rates_reader.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/report/first_table.hpp"
#include "trenchwright/report/report.hpp"
#include "trenchwright/rules/settings_book.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <unistd.h>

using namespace trenchwright;
using namespace trenchwright::testing;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;
using nlohmann::json;

namespace {

namespace fs = std::filesystem;
const fs::path lots = fs::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata";

/// A folder of the test's own, gone at the end.
struct Folder {
    fs::path path = fs::path(TRENCHWRIGHT_BINARY_DIR) / ("one_price-" + std::to_string(getpid()));
    Folder()
    {
        fs::remove_all(path);
        fs::create_directories(path);
    }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    Folder(Folder&&) = delete;
    Folder& operator=(Folder&&) = delete;
};

std::string text_of_file(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// The sample rates in the job's currency.
RateBook sample_rates(const Folder& folder, const std::string& currency)
{
    auto text = text_of_file(lots / "rates/sample-us.toml");
    const std::string usd = "\"USD\"";
    text.replace(text.find(usd), usd.size(), "\"" + currency + "\"");
    std::ofstream(folder.path / "rates.toml") << text;
    return rates_from(read_job_node(folder.path / "rates.toml"), "", currency);
}

JobPlan planned(const std::string& lot, bool with_rates, UnitSystem units, const Folder& folder)
{
    auto job = read_job(lots / lot / "job.toml");
    job.rules.units = units;
    derive_dependent_rules(job.rules);
    if (with_rates) {
        job.rates = sample_rates(folder, job.rules.currency);
        price_route_by_rates(job.rules, job.rates);
        derive_dependent_rules(job.rules);
    }
    return plan_job(job);
}

/// Low, likely and high cents by outlet and trench; "" for the job as a whole.
using Sums = std::map<std::pair<std::string, std::string>, CentSpread>;

Sums sums_in_json(const json& top)
{
    Sums sums;
    for (const auto& outlet : top["outlets"]) {
        for (const auto& line : outlet["estimate"].is_null() ? json::array() : outlet["estimate"]["lines"]) {
            const auto trench = line["trench"].is_null() ? "" : line["trench"].get<std::string>();
            const auto& price = line["price"];
            sums[{outlet["id"].get<std::string>(), trench}] += CentSpread{
                price["low_cents"].get<Cents>(), price["likely_cents"].get<Cents>(), price["high_cents"].get<Cents>()};
        }
    }
    return sums;
}

LayerData layer_of(const fs::path& file, const std::string& name)
{
    LayerSource source;
    source.file = file;
    source.layer = name;
    source.without_places = name == "estimate_lines";
    return read_layer(source);
}

std::string value_or_none(const Feature& feature, const std::string& field)
{
    const auto found = feature.values.find(field);
    return found == feature.values.end() ? "" : found->second;
}

Sums sums_in_gpkg(const fs::path& file)
{
    Sums sums;
    for (const auto& row : layer_of(file, "estimate_lines").features) {
        sums[{row.values.at("outlet"), value_or_none(row, "trench")}] +=
            CentSpread{std::stoll(row.values.at("cents_low")), std::stoll(row.values.at("cents")),
                       std::stoll(row.values.at("cents_high"))};
    }
    return sums;
}

Cents cents_in(std::string text)
{
    std::erase_if(text, [](char letter) { return letter == '.' || letter == ','; });
    return std::stoll(text);
}

/// No cell of the rows that hold money has a comma in it but the names, and these come before.
std::vector<std::string> cells_of(const std::string& row)
{
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (const char letter : row) {
        quoted = letter == '"' ? !quoted : quoted;
        if (letter == ',' && !quoted) {
            cells.emplace_back();
        } else if (letter != '"' && letter != '\r') {
            cells.back() += letter;
        }
    }
    return cells;
}

Sums sums_in_csv(const std::string& text)
{
    Sums sums;
    std::istringstream rows(text);
    for (std::string row; std::getline(rows, row);) {
        const auto cells = cells_of(row);
        if (cells.size() > 12 && cells[1] == "line") {
            sums[{cells[0], cells[4]}] += CentSpread{cents_in(cells[10]), cents_in(cells[11]), cents_in(cells[12])};
        }
    }
    return sums;
}

/// Runs of blanks as one, so that a row of a table can be looked for.
std::string one_blank(const std::string& text)
{
    std::string out;
    for (const char letter : text) {
        if (letter != ' ' || out.empty() || out.back() != ' ') {
            out += letter;
        }
    }
    return out;
}

/// A row of the report: where no rate has a range there is one figure.
std::string money_row(bool range, const std::string& name, const CentSpread& price)
{
    if (!range) {
        return fmt::format("{} {}\n", name, money_text(price.likely));
    }
    return fmt::format("{} {} {} {}\n", name, money_text(price.low), money_text(price.likely), money_text(price.high));
}

CentSpread whole(const Sums& sums, const std::string& outlet)
{
    CentSpread all;
    for (const auto& [of, cents] : sums) {
        if (of.first == outlet) {
            all += cents;
        }
    }
    return all;
}

void check_json(const json& top, const Sums& sums)
{
    for (const auto& outlet : top["outlets"]) {
        const auto id = outlet["id"].get<std::string>();
        if (!outlet["works"].get<bool>()) {
            CHECK(outlet["estimate"].is_null());
            continue;
        }
        CHECK(outlet["total_cents"].get<Cents>() == whole(sums, id).likely);
        for (const auto& answer : outlet["by_source"]) {
            const auto& price = answer["plan"]["price"];
            const CentSpread said{price["low_cents"].get<Cents>(), price["total_cents"].get<Cents>(),
                                  price["high_cents"].get<Cents>()};
            CHECK(said == sums.at({id, answer["source"].get<std::string>()}));
        }
    }
    for (const auto& choice : top["choices"]) {
        if (!choice["works"].get<bool>()) { // unknown, not 0
            CHECK(
                (choice["low_cents"].is_null() && choice["likely_cents"].is_null() && choice["high_cents"].is_null()));
            continue;
        }
        const CentSpread said{choice["low_cents"].get<Cents>(), choice["likely_cents"].get<Cents>(),
                              choice["high_cents"].get<Cents>()};
        CHECK(said == whole(sums, choice["outlet"].get<std::string>()));
    }
}

void check_papers(const JobPlan& plan, const Sums& sums, bool range)
{
    const auto report = one_blank(report_text(plan));
    for (std::size_t rank = 0; rank < plan.outcomes.size(); ++rank) {
        const auto& outcome = plan.outcomes[rank];
        const auto& id = plan.site.outlets[outcome.outlet].id;
        if (!outcome.works) {
            continue;
        }
        CHECK_THAT(outlet_cells(plan, rank).price, StartsWith(money_text(whole(sums, id).likely)));
        CHECK_THAT(report, Contains(outlet_cells(plan, rank).price));
        CHECK_THAT(report, Contains(money_row(range, "Total", whole(sums, id))));
        CHECK_THAT(report, Contains(money_row(range, "The job as a whole", sums.at({id, ""}))));
        for (const auto* trench : trenches_of(&outcome)) {
            const auto& source = plan.site.sources[trench->source].id;
            CHECK_THAT(report, Contains(money_row(range, "Trench of " + source, sums.at({id, source}))));
            CHECK_THAT(one_blank(trench_price_text(plan, *trench)),
                       Contains(money_row(range, "This trench", sums.at({id, source}))));
        }
    }
    // The overview's lower table adds up to the price of its upper one.
    const auto rows = quantity_rows(plan);
    REQUIRE(rows.size() > 2);
    Cents sum = 0;
    for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
        sum += cents_in(rows[i].back());
    }
    CHECK(sum == cents_in(rows.back().back()));
    CHECK(sum == plan.outcomes.front().total_cents);
    CHECK(sum == whole(sums, plan.site.outlets[plan.outcomes.front().outlet].id).likely);
}

void check_gpkg(const fs::path& file, const Sums& sums)
{
    CHECK(sums_in_gpkg(file) == sums);
    for (const auto& route : layer_of(file, "route").features) {
        CHECK(std::stoll(route.values.at("price_cents")) ==
              sums.at({route.values.at("outlet"), route.values.at("source")}).likely);
    }
}

void check_lot(const std::string& lot, bool with_rates, UnitSystem units)
{
    CAPTURE(lot, with_rates);
    const Folder folder;
    const auto plan = planned(lot, with_rates, units, folder);
    const auto top = json::parse(plan_json(plan));
    const auto sums = sums_in_json(top);
    REQUIRE(!sums.empty());
    check_json(top, sums);
    check_papers(plan, sums, with_rates);
    CHECK(sums_in_csv(estimate_csv(plan)) == sums);
    write_plan_gpkg(plan, folder.path / "plan.gpkg");
    check_gpkg(folder.path / "plan.gpkg", sums);
    for (const auto& outcome : plan.outcomes) {
        for (const auto& line : outcome.estimate ? outcome.estimate->lines : std::vector<EstimateLine>{}) {
            // Quantity times rate, to the cent: nothing else makes an amount.
            INFO(line.name);
            CHECK(std::abs(static_cast<double>(line.cents.likely) - line.quantity * line.rate.likely * 100) <=
                  0.5 + 1e-6);
            CHECK((with_rates || line.cents.low == line.cents.high));
        }
    }
}

constexpr double ft = ft_in_m;

/// 100 ft long, 1 ft wide and 2 ft deep on level ground, from a downspout to a pop-up; no marks.
struct HandMade {
    Site site;
    Rules rules = default_rules();
    OutletOutcome outcome;
    HandMade()
    {
        rules.route.section = {.width_m = ft, .outside_diameter_m = 4.215 * ft / 12, .wall_m = 0, .bedding_m = 0};
        rules.route.restore_width_m = 2 * ft;
        rules.cleanouts.spacing_m = 60 * ft;
        site.sources.resize(1);
        site.sources[0].id = "D1";
        site.outlets.resize(1);
        site.outlets[0].kind = OutletKind::popup;
        site.outlets[0].fee_cents = 12500;
        TrenchPlan trench;
        trench.line.route.line = {{0, 0}, {100 * ft, 0}};
        trench.laid.problem = problem_over({{0, 2 * ft}, {100 * ft, 2 * ft}});
        trench.laid.problem.section = rules.route.section;
        trench.laid.profile.points = {{0, 0}, {100 * ft, 0}};
        trench.line.facts = facts_along(site, trench.line.route.line,
                                        surfaces_along(site, trench.line.route.line, rules.route), rules.route);
        measure_and_price_trench(trench, site, rules);
        outcome.works = true;
        outcome.by_source = {trench};
    }
};

Cents cents_for(const Estimate& made, const std::string& item)
{
    const auto line = std::ranges::find_if(made.lines, [&](const auto& one) { return line_key(one) == item; });
    return line == made.lines.end() ? 0 : line->cents.likely;
}

} // namespace

TEST_CASE("one price on every paper: Quillet Lane by the settings' rates", "[one price]")
{
    check_lot("quillet-lane", false, UnitSystem::us);
}

TEST_CASE("one price on every paper: Quillet Lane by a rates file", "[one price]")
{
    check_lot("quillet-lane", true, UnitSystem::us);
}

TEST_CASE("one price on every paper: Brinkholt, both rates", "[one price]")
{
    check_lot("brinkholt", false, UnitSystem::metric);
    check_lot("brinkholt", true, UnitSystem::metric);
}

TEST_CASE("one price on every paper: the tape lot, both rates, both systems of units", "[one price]")
{
    for (const auto units : {UnitSystem::us, UnitSystem::metric}) {
        check_lot("tape", false, units);
        check_lot("tape", true, units);
    }
}

TEST_CASE("rates without hours and ranges say that they have none, not 0", "[one price]")
{
    const Folder folder;
    for (const bool with_rates : {false, true}) {
        const auto plan = planned("tape", with_rates, UnitSystem::us, folder);
        const auto made = json::parse(plan_json(plan))["outlets"][0]["estimate"];
        CHECK(made["crew_hours"].is_null() == !with_rates);
        CHECK(made["days"].is_null() == !with_rates);
        // Digging is by the hour in the rates file; a private locate is hired at a price in both.
        for (const auto& line : made["lines"]) {
            if (line["item"] == "machine_dig" || line["item"] == "private_locate") {
                CHECK(line["crew_hours"].is_null() == (!with_rates || line["item"] == "private_locate"));
            }
        }
        std::istringstream rows(estimate_csv(plan));
        for (std::string row; std::getline(rows, row);) {
            const auto cells = cells_of(row);
            if (cells.size() > 13 && cells[2] == "machine_dig") {
                CHECK(cells[13].empty() == !with_rates);
            }
        }
        const auto report = one_blank(report_text(plan));
        CHECK_THAT(report, with_rates ? Contains("Likely rate Low Likely High USD") : Contains("Rate Price USD"));
        CHECK((report.find("items independent") != std::string::npos) == with_rates);
    }
}

TEST_CASE("items have the same keys with and without a rates file", "[one price]")
{
    const Folder folder;
    for (const bool with_rates : {false, true}) {
        const auto plan = planned("tape", with_rates, UnitSystem::us, folder);
        for (const auto& outcome : plan.outcomes) {
            for (const auto& line : outcome.estimate->lines) {
                INFO(line.name);
                CHECK((line.kind != LineKind::work || rate_kind(line.item).has_value()));
            }
            CHECK(cents_for(*outcome.estimate, "pipe_3in") + cents_for(*outcome.estimate, "pipe_4in") > 0);
            CHECK(cents_for(*outcome.estimate, "mobilization") == 35000);
        }
    }
}

TEST_CASE("a trench priced by hand, line by line", "[one price]")
{
    const HandMade made;
    const auto book = settings_book(made.rules);
    const std::optional<FootingWork> footing;
    const auto price =
        price_of({.site = made.site, .rules = made.rules, .book = book, .footing = footing}, made.outcome);
    // The settings' sample rates, per ft, ft2, yd3 or piece. 100 x 1 x 2 ft3 are 200 / 27 yd3.
    CHECK(cents_for(price, "machine_dig") == 33333);    // 200 / 27 x 45 = 333.33
    CHECK(cents_for(price, "machine_length") == 40000); // 100 x 4
    CHECK(cents_for(price, "pipe_4in") == 60000);       // 100 x 6
    CHECK(cents_for(price, "restore.lawn") == 24000);   // 200 x 1.2
    CHECK(cents_for(price, "cleanout") == 13000);       // at the upper end and half way: 2 x 65
    CHECK(cents_for(price, "adapter") == 3600);
    const Cents trench = 33333 + 40000 + 60000 + 24000 + 13000 + 3600;
    CHECK(trench_cents(price, "D1") == CentSpread{trench, trench, trench});
    // For the job: pop-up 75, locate 350, sprinklers 150, record 150, mobilization 350, fee 125.
    CHECK(trench_cents(price, "").likely == 7500 + 35000 + 15000 + 15000 + 35000 + 12500);
    CHECK(total_cents(price).likely == trench + 120000);
    // No mark, so nobody knows what is crossed; all else has a price.
    REQUIRE(price.not_priced.size() == 1);
    CHECK(price.not_priced[0].item == "expose");
    CHECK(price.not_priced[0].why == NoPrice::unknown_quantity);
}

TEST_CASE("quantities and rates are printed in the job's units", "[one price]")
{
    HandMade made;
    for (const auto units : {UnitSystem::us, UnitSystem::metric}) {
        made.rules.units = units;
        const std::vector<Point3> corners{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
        Job job;
        job.rules = made.rules;
        job.rates = settings_book(made.rules);
        JobPlan plan{{.job = job, .site = made.site, .ground = Ground::from_spots(corners, {})}};
        plan.outcomes = {with_estimate(made.outcome, plan)};
        const auto& trench = std::get<TrenchPlan>(plan.outcomes[0].by_source[0]);
        const auto text = one_blank(trench_price_text(plan, trench) + estimate_text(plan, plan.outcomes[0]));
        if (units == UnitSystem::us) { // 200 / 27 = 7.41 yd3; 100 ft; 200 ft2
            CHECK_THAT(text, Contains("Machine dig 7.41 yd3 45.00 333.33") && Contains("4 in pipe, laid 100.00 ft") &&
                                 Contains("Restore lawn 200.00 ft2"));
            CHECK_THAT(text, !Contains(" m3 ") && !Contains(" m2 ") && !Contains(" m "));
        } else { // 7.4074 yd3 x 0.764555 = 5.66 m3; 30.48 m; 18.58 m2
            CHECK_THAT(text, Contains("Machine dig 5.66 m3 58.86 333.33") && Contains("4 in pipe, laid 30.48 m") &&
                                 Contains("Restore lawn 18.58 m2"));
            CHECK_THAT(text, !Contains(" yd3 ") && !Contains(" ft2 ") && !Contains(" ft "));
        }
        CHECK_THAT(text, Contains("nobody knows how many: Pothole"));
    }
}
