#include "plan/compare_jobs.hpp"

#include "plan/plan.hpp"
#include "plan/report.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string rows_text(const JobPlan& a, const JobPlan& b)
{
    std::vector<std::vector<std::string>> rows{
        {"Outlet", "", "Result", "Likely", "Low", "High", "Crew h", "By hand", "Warnings"}};
    const auto add = [&](const JobPlan& plan, const std::string& letter, const Choice& choice) {
        const UnitSystem u = plan.job.rules.units;
        rows.push_back({plan.site.outlets[choice.outlet].name, letter, choice.works ? "works" : "refused"});
        if (choice.works) {
            rows.back().insert(rows.back().end(),
                               {money_text(choice.price.likely), money_text(choice.price.low),
                                money_text(choice.price.high),
                                choice.has_hours ? fmt::format("{:.1f}", choice.crew_hours.likely) : "-",
                                length_text(choice.hand_m, u), std::to_string(choice.warnings)});
        }
    };
    const auto id_of = [](const JobPlan& plan, const Choice& choice) { return plan.site.outlets[choice.outlet].id; };
    const auto in_a = choices_of(a, "A");
    const auto in_b = choices_of(b, "B");
    for (const auto& choice : in_a) {
        add(a, "A", choice);
        const auto same =
            std::ranges::find_if(in_b, [&](const Choice& other) { return id_of(b, other) == id_of(a, choice); });
        if (same != in_b.end()) {
            add(b, "B", *same);
        }
    }
    for (const auto& choice : in_b) {
        if (std::ranges::none_of(in_a, [&](const Choice& other) { return id_of(a, other) == id_of(b, choice); })) {
            add(b, "B", choice);
        }
    }
    return text_table(rows, {3, 4, 5, 6, 7, 8});
}

std::string settings_text(const Rules& a, const Rules& b)
{
    std::vector<std::vector<std::string>> rows{{"Setting", "A", "B"}};
    for (const auto& setting : settings()) {
        const auto in_a = rule_text(a, setting.key);
        const auto in_b = rule_text(b, setting.key);
        if (in_a != in_b) {
            rows.push_back({setting.key, in_a, in_b});
        }
    }
    return rows.size() == 1 ? "Every setting is the same.\n" : text_table(rows, {});
}

std::string best_text(const JobPlan& plan, const std::string& letter)
{
    const auto& first = plan.outcomes.front();
    return first.works ? fmt::format("{}: best is {}, {} {}.\n", letter, plan.site.outlets[first.outlet].name,
                                     money_text(first.total_cents), plan.job.rules.currency)
                       : fmt::format("{}: no outlet works.\n", letter);
}

} // namespace

std::string compare_text(const JobPlan& a, const JobPlan& b)
{
    std::string text =
        fmt::format("A: {} ({})\nB: {} ({})\n\n", a.job.name, a.job.file.string(), b.job.name, b.job.file.string());
    text += rows_text(a, b) + "\n" + best_text(a, "A") + best_text(b, "B");
    if (a.job.rules.currency != b.job.rules.currency) {
        text += "The two jobs count in different currencies; nothing is converted.\n";
    }
    text += "\n" + settings_text(a.job.rules, b.job.rules);
    if (a.job.rates != b.job.rates) {
        text += fmt::format("The rates differ: {} and {}.\n", a.job.rates.file.empty() ? "settings" : a.job.rates.file,
                            b.job.rates.file.empty() ? "settings" : b.job.rates.file);
    }
    text += "\n";
    for (const auto& caution : cautions()) {
        text += wrapped("- " + caution, page_width, 2) + "\n";
    }
    return text;
}

} // namespace trenchwright
