#include "trenchwright/plan/not_supplied.hpp"

#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

const PrivateLineAnswer* answer_for(const Job& job, const PrivateLineKind& kind)
{
    const auto found = std::ranges::find(job.private_lines, kind.key, &PrivateLineAnswer::kind);
    return found == job.private_lines.end() ? nullptr : &*found;
}

} // namespace

std::string missing_marks_line(const Site& site, const std::vector<std::string>& kinds)
{
    if (site.marks.empty()) {
        return fmt::format("Hand dig length, hand dig volume and number of crossings: unknown, no marks supplied. No "
                           "price holds them; figures marked \"at least\" and \"at most\" count trees only. Missing "
                           "are the marks of: {}.",
                           kinds.empty() ? "every utility" : fmt::format("{}", fmt::join(kinds, ", ")));
    }
    return kinds.empty() ? ""
                         : fmt::format("No marks supplied for: {}. Such lines may be there; no crossing, hand digging "
                                       "or price counts them.",
                                       fmt::join(kinds, ", "));
}

std::string private_lines_line(const Job& job)
{
    std::vector<std::string_view> not_asked;
    std::vector<std::string_view> not_known;
    for (const auto& kind : private_line_kinds()) {
        const auto* answer = answer_for(job, kind);
        if (answer == nullptr) {
            not_asked.push_back(kind.words);
        } else if (answer->answer == "unknown") {
            not_known.push_back(kind.words);
        }
    }
    std::string text;
    if (!not_asked.empty()) {
        text += fmt::format("Private lines nobody asked about: {}. ", fmt::join(not_asked, ", "));
    }
    if (!not_known.empty()) {
        text += fmt::format("Private lines asked about and not known: {}. ", fmt::join(not_known, ", "));
    }
    return text.empty() ? text
                        : text + "No one-call center marks them: ask the owner, look for them, or have them "
                                 "located.";
}

std::vector<std::string> not_supplied_lines(const JobPlan& plan)
{
    std::vector<std::string> lines{missing_marks_line(plan.site, plan.no_marks_for), private_lines_line(plan.job)};
    std::erase(lines, "");
    return lines;
}

std::string missing_marks_short(const JobPlan& plan)
{
    if (plan.site.marks.empty()) {
        return "No marks supplied of any utility.";
    }
    return plan.no_marks_for.empty() ? ""
                                     : fmt::format("No marks supplied for: {}.", fmt::join(plan.no_marks_for, ", "));
}

std::string one_call_words(const Job& job)
{
    return job.sheet.one_call.empty() ? "your one-call center (811 in the US)" : job.sheet.one_call;
}

std::string short_caution(const Job& job)
{
    return fmt::format("Not permission to dig: call {} first and wait for every owner's answer. Marks show horizontal "
                       "position only: expose every line by hand before a machine comes near.",
                       one_call_words(job));
}

std::string ticket_life_text(const Job& job)
{
    if (!job.ticket.expires.empty()) {
        return job.ticket.expires;
    }
    return job.rules.office.ticket_life_days
               ? fmt::format("not on the ticket, taken as {} days after the legal start by ticket.life_days",
                             *job.rules.office.ticket_life_days)
               : "not stated: look it up with your one-call center";
}

} // namespace trenchwright
