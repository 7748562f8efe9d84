#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/report/locate_request.hpp"
#include "trenchwright/report/report.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

bool said_together(const SuppliedItem& a, const SuppliedItem& b)
{
    return a.group == b.group && a.state == b.state && a.effect == b.effect && a.supplied == b.supplied;
}

std::string capital(std::string text)
{
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
        text[0] = static_cast<char>(text[0] - 'a' + 'A');
    }
    return text;
}

/// "Marks: gas, water: no marks supplied. ..." for the items that share state and effect, in the list's order.
std::string joined(const std::vector<SuppliedItem>& items, bool gaps)
{
    std::string text;
    std::string group;
    std::vector<bool> done(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (done[i] || items[i].supplied == gaps) {
            continue;
        }
        std::string names;
        for (std::size_t k = i; k < items.size(); ++k) {
            if (said_together(items[i], items[k])) {
                names += (names.empty() ? "" : ", ") + items[k].item;
                done[k] = true;
            }
        }
        if (items[i].group != group) {
            group = items[i].group;
            text += capital(group) + "\n";
        }
        text += wrapped(fmt::format("  {}: {}.{}{}", names, items[i].state, items[i].effect.empty() ? "" : " ",
                                    items[i].effect),
                        page_width, 4) +
                "\n";
    }
    return text;
}

std::string request_text(const JobPlan& plan)
{
    const auto request = locate_request(plan);
    const std::string files = "locate-request.txt and locate-request.geojson";
    if (request.outcome == nullptr) {
        return fmt::format("Locate request: {} hold no white lines, because {}. ", files, request.why) +
               request_warning(plan, request);
    }
    const auto warning = request_warning(plan, request);
    return warning + (warning.empty() ? "" : " ") +
           fmt::format("Locate request: {} hold the white lines of the way to {} ({}). {}", files,
                       plan.site.outlets[request.outcome->outlet].name, request.why,
                       plan.site.marks.empty()
                           ? "This is the request stage: send it, wait for every answer, put the marks into the "
                             "utilities layer and plan again; the line will move."
                           : "If the line has moved since the ticket was called, its white lines have moved too.");
}

} // namespace

std::string supplied_text(const JobPlan& plan)
{
    const auto gaps = joined(plan.supplied, true);
    return (gaps.empty() ? "" : gaps + "\n") + "Supplied\n--------\n" + joined(plan.supplied, false) + "\n" +
           wrapped(request_text(plan), page_width, 2) + "\n";
}

} // namespace trenchwright
