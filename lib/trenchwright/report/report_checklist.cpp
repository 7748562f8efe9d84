#include "trenchwright/report/checklist.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/report/report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

std::string sheets_text(const JobPlan& plan, const DrawnThings& shown)
{
    const auto* outcome = drawn_outlet(plan);
    if (outcome == nullptr) {
        return {};
    }
    const auto missing = lacking(checklist(plan, outcome, shown));
    const auto lacks = missing.empty() ? std::string("nothing that the checklist requires")
                                       : fmt::format("{}", fmt::join(missing, ", "));
    return wrapped(
               fmt::format("Drawn for {}. Not on the sheets: {}. Whether they are accepted is for the reviewer to say.",
                           plan.site.outlets[outcome->outlet].name, lacks),
               page_width, 0) +
           "\n";
}

} // namespace trenchwright
