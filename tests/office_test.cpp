#include "trenchwright/base/calendar.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/office_findings.hpp"
#include "trenchwright/plan/supplied.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <unistd.h>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

namespace fs = std::filesystem;

Mark mark_of(Facility facility, const std::string& date)
{
    Mark mark;
    mark.facility = facility;
    mark.date_marked = date;
    return mark;
}

Job job_on(const std::string& date)
{
    Job job;
    job.date = date;
    job.rules = default_rules();
    job.rules.office.ticket_life_days = 21;
    return job;
}

/// Texts of the findings by one rule.
std::vector<std::string> said(const Site& site, const Job& job, const std::string& rule)
{
    std::vector<std::string> texts;
    for (const auto& finding : office_findings(site, job)) {
        if (finding.rule == rule) {
            CHECK(finding.severity == Severity::warning);
            texts.push_back(finding.text);
        }
    }
    return texts;
}

/// Reads a job file of this text; the folder is gone afterwards.
Job job_from(const std::string& text)
{
    const auto folder = fs::path(TRENCHWRIGHT_BINARY_DIR) / ("office_test-" + std::to_string(getpid()));
    fs::create_directories(folder);
    std::ofstream(folder / "lot.toml") << "units.elevations = \"ft\"\nunits.sizes = \"in\"\n"
                                       << "layers.parcel.file = \"lot.geojson\"\n"
                                       << text;
    struct Gone {
        fs::path path;
        ~Gone() { fs::remove_all(path); }
    } const gone{folder};
    return read_job(folder / "lot.toml");
}

const SuppliedItem& item_in(const std::vector<SuppliedItem>& items, const std::string& group, const std::string& name)
{
    const auto found =
        std::ranges::find_if(items, [&](const SuppliedItem& item) { return item.group == group && item.item == name; });
    REQUIRE(found != items.end());
    return *found;
}

} // namespace

TEST_CASE("days between two dates are those of the Gregorian calendar", "[office]")
{
    // The calendar repeats after 400 years of 146097 days (97 leap years); day 0 is that of POSIX time.
    CHECK(day_number("1970-01-01") == 0);
    CHECK(*day_number("2400-01-01") - *day_number("2000-01-01") == 146097);
    CHECK(*day_number("2026-03-22") - *day_number("2026-03-01") == 21);
    CHECK(*day_number("2024-03-01") - *day_number("2024-02-28") == 2);
    CHECK(*day_number("2100-03-01") - *day_number("2100-02-28") == 1);
    for (const auto* wrong : {"", "2100-02-29", "2026-13-01", "2026-00-10", "2026-1-01", "26-01-01", "2026/01/01",
                              "2026-01-32", "spring", "2026-01-1x", "-026-01-01", "2026-+1-01", "2026-01-01 "}) {
        INFO(wrong);
        CHECK_FALSE(day_number(wrong).has_value());
    }
}

TEST_CASE("a ticket is good for its life after the legal start, and not a day longer", "[office]")
{
    auto job = job_on("2026-03-22"); // 21 days after March 1
    job.ticket.legal_start = "2026-03-01";
    CHECK(said({}, job, "ticket.life_days").empty());
    job.date = "2026-03-23";
    const auto late = said({}, job, "ticket.life_days");
    REQUIRE(late.size() == 1);
    CHECK_THAT(late[0], Contains("expired 1 days before"));
    job.rules.office.ticket_life_days = 22;
    CHECK(said({}, job, "ticket.life_days").empty());
    job.ticket.expires = "2026-03-10"; // what the ticket itself says comes first
    CHECK_THAT(said({}, job, "ticket.life_days").at(0), Contains("expired 13 days before"));
    job.date = "2026-02-28";
    CHECK_THAT(said({}, job, "ticket").at(0), Contains("no digging before"));
}

TEST_CASE("how long a ticket is good for is not known until somebody states it", "[office]")
{
    // Lives in force: Nebraska 17 calendar days after the start, Michigan 21, Florida 30. No one of them is ours.
    CHECK_FALSE(default_rules().office.ticket_life_days);
    auto job = job_on("2026-06-01");
    job.rules.office = default_rules().office;
    job.ticket.legal_start = "2026-05-14"; // 18 days before: run out in Nebraska
    const std::string unknown = "not stated: look it up with your one-call center";
    const auto texts = said({}, job, "ticket.life_days");
    REQUIRE(texts.size() == 1);
    CHECK_THAT(texts[0], Contains(unknown));
    const auto items = supplied_items({}, job);
    CHECK(item_in(items, "ticket", "expiry").state == unknown);
    CHECK_FALSE(item_in(items, "ticket", "expiry").supplied);
    job.rules.office.ticket_life_days = 17;
    CHECK_THAT(said({}, job, "ticket.life_days").at(0), Contains("expired 1 days before"));
    job.ticket.expires = "2026-06-13";
    CHECK(said({}, job, "ticket.life_days").empty());
    const auto stated = supplied_items({}, job);
    CHECK(item_in(stated, "ticket", "expiry").state == "2026-06-13");
}

TEST_CASE("a mark whose accuracy or quality nobody stated is a finding, for its zone is no wider for it", "[office]")
{
    auto job = job_on("2026-06-30");
    Site site;
    site.marks = {mark_of(Facility::gas, "2026-06-20"), mark_of(Facility::water, "2026-06-20")};
    site.marks[0].position_accuracy_m = 0; // stated: exact
    site.marks[0].quality = QualityLevel::b;
    const auto texts = said(site, job, "utilities");
    REQUIRE(texts.size() == 2);
    CHECK_THAT(texts[0], Contains("Position accuracy is not stated for 1 of 2 marks"));
    CHECK_THAT(texts[1], Contains("Quality level is not stated for 1 of 2 marks"));
    site.marks[1].position_accuracy_m = 0.15;
    site.marks[1].quality = QualityLevel::d;
    CHECK(said(site, job, "utilities").empty());
}

TEST_CASE("without any mark hand digging is unknown, and what trees ask for is the least of it", "[office]")
{
    Site site;
    TrenchPlan trench;
    trench.measured.quantities.machine_length_m = 10;
    auto dig = hand_dig(site, trench);
    CHECK(hand_length_text(dig, UnitSystem::metric) == "unknown");
    CHECK(hand_volume_text(dig, UnitSystem::us) == "unknown");
    CHECK(crossings_text(dig) == "unknown");
    CHECK(machine_length_text(dig, UnitSystem::metric) == "at most " + length_text(10, UnitSystem::metric));
    trench.measured.quantities.hand_length_m = 2; // at a tree
    dig = hand_dig(site, trench);
    CHECK(hand_length_text(dig, UnitSystem::metric) == "at least " + length_text(2, UnitSystem::metric));
    site.marks = {mark_of(Facility::gas, "")};
    dig = hand_dig(site, trench);
    CHECK(hand_length_text(dig, UnitSystem::metric) == length_text(2, UnitSystem::metric));
    CHECK(crossings_text(dig) == "0");
    CHECK(machine_length_text(dig, UnitSystem::us) == length_text(10, UnitSystem::us));
}

TEST_CASE("the top of a paper names missing kinds and private lines, and nothing where all is answered for", "[office]")
{
    Site site;
    CHECK_THAT(missing_marks_line(site, kinds_without_marks(site)),
               Contains("unknown, no marks supplied") &&
                   Contains("electric, gas, communication, water, sanitary sewer, storm sewer."));
    for (const auto kind :
         {Facility::electric, Facility::gas, Facility::communication, Facility::water, Facility::sanitary_sewer}) {
        site.marks.push_back(mark_of(kind, ""));
    }
    CHECK_THAT(missing_marks_line(site, kinds_without_marks(site)),
               Contains("No marks supplied for: storm sewer. Such lines may be there"));
    site.marks.push_back(mark_of(Facility::storm_sewer, ""));
    CHECK(missing_marks_line(site, kinds_without_marks(site)).empty());
    auto job = job_on("2026-06-30");
    CHECK_THAT(private_lines_line(job), Contains("irrigation (sprinkler) lines") && Contains("buried pet fence"));
    for (const auto& kind : private_line_kinds()) {
        job.private_lines.push_back({.kind = std::string(kind.key), .answer = "none", .by = "", .date = ""});
    }
    CHECK(private_lines_line(job).empty());
    CHECK_THAT(short_caution(job), Contains("Not permission to dig") && Contains("811") && Contains("horizontal"));
    job.sheet.one_call = "Fennick Locate, 555-0100";
    CHECK_THAT(short_caution(job), Contains("call Fennick Locate, 555-0100 first"));
}

TEST_CASE("marks older than a ticket's life are said once for each date", "[office]")
{
    auto job = job_on("2026-06-30");
    Site site;
    site.marks = {mark_of(Facility::gas, "2026-06-09"),      mark_of(Facility::water, "2026-06-08"),
                  mark_of(Facility::electric, "2026-06-08"), mark_of(Facility::electric, "2026-07-01"),
                  mark_of(Facility::electric, "June"),       mark_of(Facility::electric, "")};
    const auto texts = said(site, job, "ticket.life_days");
    REQUIRE(texts.size() == 3);
    CHECK_THAT(texts[0], Contains("2 marks were made on 2026-06-08, 22 days before"));
    CHECK_THAT(texts[1], Contains("after the job's date"));
    CHECK_THAT(texts[2], Contains("\"June\", which is not a date"));
    job.date = "Midsummer";
    const auto unjudged = said(site, job, "ticket.life_days");
    REQUIRE(unjudged.size() == 1);
    CHECK_THAT(unjudged[0], Contains("not judged"));
}

TEST_CASE("an owner without an answer, and one who says he has none, are both warned about", "[office]")
{
    auto job = job_on("2026-06-30");
    job.ticket.answers = {{.owner = "Fennick Gas", .answer = "no answer", .date = ""},
                          {.owner = "Fennick Water", .answer = "marked", .date = ""},
                          {.owner = "Fennick Cable", .answer = "no conflict", .date = "2026-06-12"}};
    const auto texts = said({}, job, "ticket");
    REQUIRE(texts.size() == 2);
    CHECK_THAT(texts[0], Contains("Fennick Gas has not answered"));
    CHECK_THAT(texts[1],
               Contains("Fennick Cable reports no conflict") && Contains("2026-06-12") && Contains("all the same"));
}

TEST_CASE("every kind of private line is asked for by name, and an owner's word stays a word", "[office]")
{
    auto job = job_on("2026-06-30");
    job.private_lines = {{.kind = "irrigation", .answer = "none", .by = "A. Fenn", .date = "2026-06-01"},
                         {.kind = "propane", .answer = "marked", .by = "", .date = ""},
                         {.kind = "septic", .answer = "unknown", .by = "", .date = ""}};
    const auto items = supplied_items({}, job);
    for (const auto& kind : private_line_kinds()) {
        INFO(kind.key);
        item_in(items, "private lines", std::string(kind.words));
    }
    const auto& none = item_in(items, "private lines", "irrigation (sprinkler) lines");
    CHECK(none.supplied);
    CHECK(none.state == "none, according to the owner (A. Fenn, 2026-06-01)");
    CHECK_THAT(none.effect, Contains("not a locate"));
    CHECK_FALSE(item_in(items, "private lines", "septic tank and field").supplied);
    CHECK(item_in(items, "private lines", "yard lights").state == "nobody was asked");
    // Propane is said to be marked and no gas mark is there; 11 kinds, 2 of them answered.
    const auto texts = said({}, job, "private_lines");
    REQUIRE(texts.size() == 2);
    CHECK_THAT(texts[0], Contains("\"propane\" is said to be marked") && Contains("no gas mark"));
    CHECK_THAT(texts[1], Contains("nobody asked about: sewer lateral, water past the meter, gas past the meter, power "
                                  "past the meter, yard lights, lines to sheds and garages, old drains, buried pet "
                                  "fence.") &&
                             Contains("asked about and not known: septic tank and field."));
    Site marked;
    marked.marks = {mark_of(Facility::gas, "2026-06-20")};
    CHECK(said(marked, job, "private_lines").size() == 1);
}

TEST_CASE("an empty lot has every gap with its effect, and nothing on the list calls a place free", "[office]")
{
    Site site;
    site.sources.resize(1);
    site.sources[0].id = "D1";
    site.outlets.resize(1);
    site.outlets[0].name = "Swale";
    const auto items = supplied_items(site, job_on("2026-06-30"));
    CHECK(items.size() >= 30);
    for (const auto& item : items) {
        INFO(item.group << ": " << item.item);
        CHECK_FALSE(item.supplied);
        CHECK_FALSE(item.effect.empty());
        for (const auto& text : {item.state, item.effect}) {
            CHECK_THAT(text, !Contains("clear", Catch::CaseSensitive::No) && !Contains("safe"));
        }
    }
    for (const auto* kind : {"electric", "gas", "communication", "water", "sanitary sewer", "storm sewer"}) {
        CHECK(item_in(items, "marks", kind).state == "no marks supplied");
    }
    site.marks = {mark_of(Facility::sewer_unstated, "")};
    CHECK(item_in(supplied_items(site, job_on("")), "marks", "storm sewer").supplied); // green paint may be either
    CHECK(item_in(supplied_items(site, job_on("")), "marks", "dates").state == "missing on 1 mark");
}

TEST_CASE("ticket, private lines and request are read from the job file", "[office]")
{
    const auto job = job_from(R"(
[ticket]
number = "26-0417"
called = 2026-04-01
legal_start = "2026-04-06"
expires = 2026-04-27
answers = [{ owner = "Fennick Gas", answer = "marked", date = 2026-04-03 }, { owner = "Line Co", answer = "no answer" }]
[private_lines]
sprinklers = { answer = "none", by = "the owner", date = 2026-04-02 }
[request]
outlet = "curb"
phone = "555 0100"
work = "buried drain"
)");
    CHECK(job.ticket.number == "26-0417");
    CHECK(job.ticket.called == "2026-04-01");
    CHECK(job.ticket.legal_start == "2026-04-06");
    CHECK(job.ticket.expires == "2026-04-27");
    REQUIRE(job.ticket.answers.size() == 2);
    CHECK(job.ticket.answers[0] == TicketAnswer{"Fennick Gas", "marked", "2026-04-03"});
    CHECK(job.private_lines == std::vector<PrivateLineAnswer>{{"irrigation", "none", "the owner", "2026-04-02"}});
    CHECK(job.request.outlet == "curb");
    CHECK(job.request.fields ==
          std::vector<std::pair<std::string, std::string>>{{"phone", "555 0100"}, {"work", "buried drain"}});
}

TEST_CASE("a wrong ticket, private line or request is refused with its line", "[office]")
{
    const std::vector<std::pair<std::string, std::string>> wrong{
        {"[ticket]\nexpires = \"soon\"\n", "lot.toml:5: ticket.expires: \"soon\" is not a date"},
        {"[ticket]\nexpires = 2026-02-30\n", "lot.toml:5"},
        {"[ticket]\nexpires = \"2026-02-30\"\n", "is not a date"},
        {"[ticket]\nnumbr = \"1\"\n", "did you mean \"number\"?"},
        {"[ticket]\nanswers = \"all\"\n", "must be a list of tables"},
        {"[ticket]\nanswers = [{ owner = \"G\" }]\n", "needs answer = \"marked\" or \"no conflict\" or \"no answer\""},
        {"[ticket]\nanswers = [{ owner = \"G\", answer = \"clear\" }]\n",
         "\"clear\" must be one of: marked|no conflict|no "
         "answer"},
        {"[ticket]\nanswers = [{ answer = \"marked\" }]\n", "needs owner"},
        {"[private_lines]\nirigation = { answer = \"none\" }\n", "did you mean \"irrigation\"?"},
        {"[private_lines]\nirrigation = { answer = \"no\" }\n", "\"no\" must be one of: marked|none|unknown"},
        {"[private_lines]\nirrigation = { by = \"A\" }\n", "needs answer"},
        {"[private_lines]\nirrigation = \"none\"\n", "must be a table"},
        {"[request]\nfone = \"1\"\n", "did you mean \"phone\"?"},
        {"[request]\nphone = 5550100\n", "must be a text in quotes"},
        {"[rules]\nticket.life_days = \"-1\"\n", "ticket.life_days"},
        {"[rules]\nrequest.extra_width = \"nan ft\"\n", "request.extra_width"},
    };
    for (const auto& [text, why] : wrong) {
        INFO(text);
        CHECK_THROWS_WITH(job_from(text), Contains(why));
    }
}
