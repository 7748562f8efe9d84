#include "trenchwright/plan/break_even.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/plan/outlet_uncertainty.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string range_text(const CentSpread& price)
{
    return price.low == price.high
               ? money_text(price.likely)
               : fmt::format("{} ({} to {})", money_text(price.likely), money_text(price.low), money_text(price.high));
}

std::vector<std::string> row_of(const JobPlan& plan, const Choice& choice)
{
    constexpr std::array<const char*, 3> permissions{"yes", "ask", "unstated"};
    const UnitSystem u = plan.job.rules.units;
    const auto& name = plan.site.outlets[choice.outlet].name;
    const std::string state(state_text(state_of(choice)));
    if (!choice.works) {
        return {name, choice.variant, state};
    }
    const auto percent = !choice.hand_m        ? "unknown"
                         : choice.length_m > 0 ? fmt::format("{:.0f} %", 100 * *choice.hand_m / choice.length_m)
                                               : "-";
    const std::string unknown = choice.spare_m ? "not known" : "-"; // a line under pressure needs no fall
    return {name,
            choice.variant,
            state,
            range_text(choice.price),
            choice.has_hours ? fmt::format("{:.0f}", choice.crew_hours.likely) : "-",
            permissions.at(static_cast<std::size_t>(choice.permission_step)),
            choice.lead_time_days ? fmt::format("{:.0f} d", *choice.lead_time_days) : "-",
            percent,
            choice.spare_m ? small_text(*choice.spare_m, u) : "-",
            choice.error_m ? error_text(*choice.error_m, u) : unknown,
            choice.drains_share ? probability_text(*choice.drains_share) : unknown,
            std::to_string(choice.warnings)};
}

const std::string weighed =
    "Weighed are price, hours, permission, lead time, hand digging, the chance that it drains, the number of warnings "
    "and of STOPs, water that stands in the line, ponding on the lot, and whether the pipe carries its flow. Not "
    "weighed: frost, the "
    "number of pop-up emitters and other structures, whom the water reaches afterwards, upkeep.";

std::string dominance_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& choice : plan.choices) {
        if (!choice.dominated_by.empty()) {
            text += wrapped(fmt::format("  {}, {}: by {}.", plan.site.outlets[choice.outlet].name, choice.variant,
                                        choice.dominated_by),
                            page_width, 4) +
                    "\n";
        }
    }
    if (std::ranges::count_if(plan.choices, &Choice::works) < 2) {
        return "";
    }
    if (text.empty()) {
        return wrapped("No option beats another on every count. " + weighed, page_width, 2) + "\n";
    }
    return wrapped("Beaten on every count that is weighed by another option that is as good or better in all. " +
                       weighed,
                   page_width, 2) +
           "\n" + text;
}

} // namespace

std::string choices_text(const JobPlan& plan)
{
    std::vector<std::vector<std::string>> rows{{"Outlet", "How", "Result", "Price " + plan.job.rules.currency, "Crew h",
                                                "Permission", "Lead", "By hand", "Extra fall", "Ground error +/-",
                                                "Chance", "Warnings"}};
    for (const auto& choice : plan.choices) {
        rows.push_back(row_of(plan, choice));
    }
    std::string text = fitted_table(rows, {3, 4, 6, 7, 8, 9, 10, 11}, page_width) + "\n" + dominance_text(plan);
    const auto sentences = break_even(plan);
    if (!sentences.empty()) {
        text += "\nBreak-even of the two best, one rate at a time, on these routes:\n";
    }
    for (const auto& sentence : sentences) {
        text += wrapped("  " + sentence, page_width, 4) + "\n";
    }
    return text + "\n" +
           (plan.job.rules.compare_variants ? ""
                                            : "Other pipes, widths and bored paving are planned too with the rule "
                                              "compare.variants = \"yes\".\n\n") +
           uncertainty_text(plan);
}

} // namespace trenchwright
