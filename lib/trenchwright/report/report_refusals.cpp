#include "trenchwright/base/text.hpp"
#include "trenchwright/report/refusal_text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

bool any_cures(const OutletOutcome& outcome)
{
    return std::ranges::any_of(outcome.help, [](const RefusalHelp& help) { return !help.cures.empty(); });
}

} // namespace

std::string cure_terms(const OutletOutcome& outcome)
{
    return fmt::format(
        "{}ach by itself and only just; whoever decides about it must agree",
        outcome.cures.empty() ? "No single change of those tried serves every source; for the one named, e" : "E");
}

std::string cure_line(const Cure& cure, std::size_t trenches, const std::string& currency)
{
    if (!cure.price) {
        return cure.text;
    }
    const auto what = trenches == 1 ? "trench" : fmt::format("{} trenches", trenches);
    return fmt::format("{} ({} {} {})", cure.text, what, money_text(cure.price->likely), currency);
}

std::size_t refused_sources(const OutletOutcome& outcome)
{
    return static_cast<std::size_t>(
        std::ranges::count_if(outcome.by_source, [](const auto& by) { return std::holds_alternative<Refusal>(by); }));
}

std::vector<std::string> cure_lines(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& currency = plan.job.rules.currency;
    std::vector<std::string> lines;
    for (const auto& cure : outcome.cures) {
        lines.push_back(cure_line(cure, refused_sources(outcome), currency));
    }
    for (std::size_t i = 0; outcome.cures.empty() && i < outcome.help.size(); ++i) {
        for (const auto& cure : outcome.help[i].cures) {
            lines.push_back(fmt::format("{}: {}", plan.site.sources[i].id, cure_line(cure, 1, currency)));
        }
    }
    return lines;
}

std::string refusals_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    std::string text;
    for (std::size_t s = 0; s < outcome.by_source.size(); ++s) {
        if (const auto* refusal = std::get_if<Refusal>(&outcome.by_source[s])) {
            text += wrapped(fmt::format("   {}: not workable: {}.", plan.site.sources[s].id, refusal->text), page_width,
                            6) +
                    "\n";
        }
    }
    if (outcome.works || outcome.help.empty() || !plan.job.rules.cures.look) {
        return text;
    }
    if (!any_cures(outcome)) {
        return text + wrapped("   No single change of those tried makes it work.", page_width, 6) + "\n";
    }
    text += wrapped(fmt::format("   What would make it work. {}:", cure_terms(outcome)), page_width, 6) + "\n";
    for (const auto& line : cure_lines(plan, outcome)) {
        text += wrapped("   - " + line + ".", page_width, 6) + "\n";
    }
    return text;
}

} // namespace trenchwright
