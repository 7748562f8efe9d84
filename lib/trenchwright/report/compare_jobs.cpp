#include "trenchwright/report/compare_jobs.hpp"

#include "trenchwright/plan/choices.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/report.hpp"

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
        rows.push_back({plan.site.outlets[choice.outlet].name, letter, std::string(state_text(state_of(choice)))});
        if (choice.works) {
            const bool range = choice.price.low != choice.price.high;
            rows.back().insert(rows.back().end(),
                               {money_text(choice.price.likely), range ? money_text(choice.price.low) : "-",
                                range ? money_text(choice.price.high) : "-",
                                choice.has_hours ? fmt::format("{:.1f}", choice.crew_hours.likely) : "-",
                                choice.hand_m           ? length_text(*choice.hand_m, u)
                                : choice.min_hand_m > 0 ? "at least " + length_text(choice.min_hand_m, u)
                                                        : "unknown",
                                std::to_string(choice.warnings)});
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

/// One item of the two lists; a job that has no such item (a source of its own) leaves the cell empty.
struct SuppliedPair {
    const SuppliedItem* a = nullptr;
    const SuppliedItem* b = nullptr;
    [[nodiscard]] const SuppliedItem& any() const { return a != nullptr ? *a : *b; }
    [[nodiscard]] bool differs() const { return a == nullptr || b == nullptr || a->state != b->state; }
};

std::vector<SuppliedPair> supplied_pairs(const JobPlan& a, const JobPlan& b)
{
    const auto same = [](const SuppliedItem& one, const SuppliedItem& other) {
        return one.group == other.group && one.item == other.item;
    };
    std::vector<SuppliedPair> pairs;
    for (const auto& item : a.supplied) {
        pairs.push_back({.a = &item});
    }
    for (const auto& item : b.supplied) {
        const auto found = std::ranges::find_if(
            pairs, [&](const SuppliedPair& pair) { return pair.a != nullptr && same(*pair.a, item); });
        if (found == pairs.end()) {
            pairs.push_back({.b = &item});
        } else {
            found->b = &item;
        }
    }
    return pairs;
}

/// Marks and lot always, the rest where the two differ.
std::string supplied_text(const std::vector<SuppliedPair>& pairs)
{
    std::vector<std::vector<std::string>> rows{{"Supplied", "", "A", "B", ""}};
    for (const auto& pair : pairs) {
        const auto& [group, item] = std::pair(pair.any().group, pair.any().item);
        if (pair.differs() || group == marks_group || group == lot_group) {
            rows.push_back({group, item, pair.a == nullptr ? "-" : pair.a->state,
                            pair.b == nullptr ? "-" : pair.b->state, pair.differs() ? "differs" : ""});
        }
    }
    return text_table(rows, {});
}

std::string lines_text(const JobPlan& plan, const std::string& letter)
{
    std::string text;
    for (const auto& line : not_supplied_lines(plan)) {
        text += wrapped(letter + ": " + line, page_width, 3) + "\n";
    }
    return text;
}

std::string settings_text(const Rules& a, const Rules& b, bool supplied_alike)
{
    std::vector<std::vector<std::string>> rows{{"Setting", "A", "B"}};
    for (const auto& setting : settings()) {
        const auto in_a = rule_text(a, setting.key);
        const auto in_b = rule_text(b, setting.key);
        if (in_a != in_b) {
            rows.push_back({setting.key, in_a, in_b});
        }
    }
    if (rows.size() > 1) {
        return text_table(rows, {});
    }
    return supplied_alike ? "Every setting is the same.\n"
                          : "Every setting is the same, but not what was supplied: see the top.\n";
}

std::string best_text(const JobPlan& plan, const std::string& letter)
{
    const auto& first = plan.outcomes.front();
    const auto& name = plan.site.outlets[first.outlet].name;
    const auto price = money_text(first.total_cents) + " " + plan.job.rules.currency;
    const auto* unknown = plan.site.marks.empty() ? " Its hand digging is unknown, no marks supplied." : "";
    switch (state_of(first)) {
    case OutletState::works: return fmt::format("{}: best is {}, {}.{}\n", letter, name, price, unknown);
    case OutletState::stop:
        return fmt::format("{}: no workable outlet; {}, {}, comes nearest. {}.{}\n", letter, name, price,
                           state_sentence(OutletState::stop), unknown);
    case OutletState::refused: break;
    }
    return fmt::format("{}: no workable outlet.\n", letter);
}

} // namespace

std::string compare_text(const JobPlan& a, const JobPlan& b)
{
    std::string text =
        fmt::format("A: {} ({})\nB: {} ({})\n\n", a.job.name, a.job.file.string(), b.job.name, b.job.file.string());
    const auto pairs = supplied_pairs(a, b);
    text += supplied_text(pairs) + "\n" + lines_text(a, "A") + lines_text(b, "B");
    const bool alike = std::ranges::none_of(pairs, &SuppliedPair::differs);
    if (!alike) {
        text += "The two were not supplied with the same: what only one of them knows is in no figure of the other.\n";
    }
    text += "\n" + rows_text(a, b) + "\n" + best_text(a, "A") + best_text(b, "B");
    if (a.job.rules.currency != b.job.rules.currency) {
        text += "The two jobs count in different currencies; nothing is converted.\n";
    }
    text += "\n" + settings_text(a.job.rules, b.job.rules, alike);
    const bool own_rates = !a.job.rates.file.empty() || !b.job.rates.file.empty(); // else the settings above say it all
    if (own_rates && a.job.rates != b.job.rates) {
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
