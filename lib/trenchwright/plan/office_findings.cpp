#include "trenchwright/plan/office_findings.hpp"

#include "trenchwright/base/calendar.hpp"
#include "trenchwright/plan/not_supplied.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <map>

namespace trenchwright {

namespace {

class Warnings {
  public:
    void note(std::string rule, std::string text)
    {
        findings_.push_back(finding(Severity::note, std::move(rule), std::move(text)));
    }
    void warn(std::string rule, std::string text)
    {
        findings_.push_back({.severity = Severity::warning,
                             .rule = std::move(rule),
                             .text = std::move(text),
                             .at = std::nullopt,
                             .station_m = std::nullopt});
    }
    std::vector<Finding> take() { return std::move(findings_); }

  private:
    std::vector<Finding> findings_;
};

/// The last day on which the ticket is good: as stated, else its life after the legal start; nothing: not known.
std::optional<long long> last_day(const Ticket& ticket, const std::optional<int>& life_days)
{
    if (const auto stated = day_number(ticket.expires)) {
        return stated;
    }
    const auto start = day_number(ticket.legal_start);
    return start && life_days ? std::optional(*start + *life_days) : std::nullopt;
}

void judge_ticket(Warnings& warnings, const Ticket& ticket, long long today, const Job& job)
{
    const auto start = day_number(ticket.legal_start);
    if (start && today < *start) {
        warnings.warn("ticket",
                      fmt::format("The ticket's legal start is {}, after the job's date {}: no digging before "
                                  "it.",
                                  ticket.legal_start, job.date));
    }
    const auto last = last_day(ticket, job.rules.office.ticket_life_days);
    if (last && today > *last) {
        warnings.warn("ticket.life_days",
                      fmt::format("The ticket expired {} days before the job's date {}{}: ask for a new one.",
                                  today - *last, job.date,
                                  ticket.expires.empty()
                                      ? fmt::format(", taken as good for {} days from {}",
                                                    *job.rules.office.ticket_life_days, ticket.legal_start)
                                      : fmt::format(" (expiry {})", ticket.expires)));
    }
    if (const auto called = day_number(ticket.called); called && start && *called > *start) {
        warnings.warn("ticket", fmt::format("The ticket's call of {} is dated after its legal start {}: one of the two "
                                            "is wrong.",
                                            ticket.called, ticket.legal_start));
    }
}

void judge_answers(Warnings& warnings, const Ticket& ticket)
{
    for (const auto& answer : ticket.answers) {
        if (answer.answer == "no answer") {
            warnings.warn("ticket", fmt::format("{} has not answered the ticket. No answer is not permission to dig.",
                                                answer.owner));
        }
        if (answer.answer == "no conflict") {
            warnings.warn("ticket", fmt::format("{} reports no conflict there{}. Look for signs of a line all the "
                                                "same.",
                                                answer.owner, answer.date.empty() ? "" : " (" + answer.date + ")"));
        }
    }
}

/// One warning for all marks of a date, so that a hundred marks do not make a hundred lines.
void judge_marks(Warnings& warnings, const Site& site, long long today, const Job& job)
{
    std::map<std::string, std::size_t> by_date;
    for (const auto& mark : supplied_marks(site)) {
        ++by_date[mark.date_marked];
    }
    const auto& life_days = job.rules.office.ticket_life_days;
    for (const auto& [date, count] : by_date) {
        const bool year_alone = date.size() == 4;
        const auto made = day_number(year_alone ? date + "-12-31" : date); // its last day: no mark is taken as older
        if (year_alone && made && !(life_days && today - *made > *life_days)) {
            warnings.warn("ticket.life_days",
                          fmt::format("{} marks are dated {}, a year alone: their age is not known.", count, date));
        } else if (!date.empty() && !made) {
            warnings.warn("ticket.life_days",
                          fmt::format("{} marks are dated \"{}\", which is not a date: their age is not "
                                      "known.",
                                      count, date));
        } else if (made && life_days && today - *made > *life_days) {
            warnings.warn("ticket.life_days",
                          fmt::format("{} marks were made on {}, {} days before the job's date {}; marks are taken as "
                                      "good for {} days. Have the lines marked again.",
                                      count, date, today - *made, job.date, *life_days));
        } else if (made && *made > today) {
            warnings.warn("ticket.life_days",
                          fmt::format("{} marks are dated {}, after the job's date {}.", count, date, job.date));
        }
    }
}

/// A line that is said to be marked must be among the marks.
void judge_private_lines(Warnings& warnings, const Site& site, const Job& job)
{
    for (const auto& answer : job.private_lines) {
        const auto kind = std::ranges::find(private_line_kinds(), answer.kind, &PrivateLineKind::key);
        const auto facility = facility_named(kind->marks);
        const bool there = std::ranges::any_of(
            supplied_marks(site), [&](const Mark& mark) { return !facility || mark.facility == *facility; });
        if (answer.answer == "marked" && !there) {
            warnings.warn("private_lines",
                          fmt::format("Private line \"{}\" is said to be marked, but the utilities layer has no {}.",
                                      kind->words, facility ? fmt::format("{} mark", kind->marks) : "mark at all"));
        }
    }
    if (auto line = private_lines_line(job); !line.empty()) {
        warnings.warn("private_lines", std::move(line));
    }
}

/// Where a ticket or dated marks are there, somebody will go by them: until when?
void judge_life(Warnings& warnings, const Job& job, bool dated)
{
    const bool stated = !job.ticket.expires.empty() || job.rules.office.ticket_life_days;
    if (!stated && (dated || !job.ticket.number.empty())) {
        warnings.warn("ticket.life_days",
                      fmt::format("How long ticket and marks are good for is {}. States differ; their "
                                  "age is not judged.",
                                  ticket_life_text(job)));
    }
}

/// What a mark's record leaves out makes its hand-dig zone no wider, and the line no nearer.
void judge_records(Warnings& warnings, const Site& site, const Job& job)
{
    const auto say = [&](auto lacks, const std::string& what, const std::string& then) {
        const auto marks = supplied_marks(site);
        const auto missing = std::ranges::count_if(marks, lacks);
        if (missing > 0) {
            warnings.warn("utilities",
                          fmt::format("{} is not stated for {} of {} marks: {}.", what, missing, marks.size(), then));
        }
    };
    say([](const Mark& mark) { return !mark.position_accuracy_m; }, "Position accuracy",
        fmt::format("their hand-dig zones reach {} beyond the line and no farther. Ask the locator how far off they "
                    "may be",
                    small_text(job.rules.route.tolerance_m, job.rules.units)));
    say([](const Mark& mark) { return !mark.quality; }, "Quality level", "they are taken to be no surer than level D");
}

} // namespace

std::vector<Finding> office_findings(const Site& site, const Job& job)
{
    Warnings warnings;
    const auto& ticket = job.ticket;
    const bool dated =
        !ticket.legal_start.empty() || !ticket.expires.empty() ||
        std::ranges::any_of(supplied_marks(site), [](const Mark& mark) { return !mark.date_marked.empty(); });
    if (const auto today = day_number(job.date)) {
        judge_ticket(warnings, ticket, *today, job);
        judge_marks(warnings, site, *today, job);
    } else if (dated) {
        warnings.warn(
            "ticket.life_days",
            fmt::format("The job's date \"{}\" is not written like 2031-04-02: the age of ticket and marks is "
                        "not judged.",
                        job.date));
    }
    judge_life(warnings, job, dated);
    judge_answers(warnings, ticket);
    judge_records(warnings, site, job);
    judge_private_lines(warnings, site, job);
    if (auto text = former_names_text(job.former_names); !text.empty()) {
        warnings.note("job", std::move(text));
    }
    return warnings.take();
}

} // namespace trenchwright
