#include "trenchwright/base/error.hpp"
#include "trenchwright/rules/checklist_items.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <charconv>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";
const std::string returned = "permit checklists of three public bodies that return other scales";

/// "10, 20, 30": above 0 and rising.
std::vector<double> scales_from(const std::string& text)
{
    std::vector<double> scales;
    std::size_t at = 0;
    while (at <= text.size()) {
        const auto end = std::min(text.find(',', at), text.size());
        const auto first = std::min(text.find_first_not_of(' ', at), end);
        double scale = 0;
        const auto [stop, fault] = std::from_chars(text.data() + first, text.data() + end, scale);
        const bool rises = fault == std::errc{} && stop == text.data() + end && scale > 0 && scale <= 10000 &&
                           (scales.empty() || scale > scales.back());
        if (!rises) {
            throw Error(ErrorKind::input, fmt::format(R"("{}" is no rising list of scales, e.g. "10, 20, 30")", text));
        }
        scales.push_back(scale);
        at = end + 1;
    }
    return scales;
}

/// A list of scales as one word of the table.
template <typename Field>
SettingRow scales_row(std::string key, std::string fallback, std::string source, std::string help, Field field)
{
    SettingRow row;
    row.setting = {std::move(key), Measure::word, std::move(fallback), "", "", std::move(source), std::move(help)};
    row.word = [field](const Rules& rules) { return fmt::format("{}", fmt::join(field(rules), ", ")); };
    row.set_word = [field](Rules& rules, const std::string& word) { field(rules) = scales_from(word); };
    return row;
}

SettingRow turn_row()
{
    SettingRow row;
    row.setting = {"sheet.turn",
                   Measure::word,
                   "north up",
                   "north up|along the trench",
                   "",
                   "Boone NC plan sheets require that plan and profile read left to right; north up: " + practice,
                   "Which way the plan lies: north up, or turned so that the longest trench runs from left to right."};
    row.word = [](const Rules& rules) { return rules.papers.along_trench ? "along the trench" : "north up"; };
    row.set_word = [](Rules& rules, const std::string& word) {
        rules.papers.along_trench = word == "along the trench";
    };
    return row;
}

SettingRow checklist_row(const ChecklistItem& item)
{
    constexpr int usual = 3;
    SettingRow row;
    const std::string key(item.key);
    row.setting = {"checklist." + key,
                   Measure::word,
                   item.lists >= usual ? "yes" : "no",
                   "yes|no",
                   "",
                   fmt::format("required by {} of 25 public permit checklists read in excerpts", item.lists),
                   fmt::format("Whether the sheets must show: {}.", item.words)};
    row.word = [key](const Rules& rules) {
        const auto found = rules.papers.checklist.find(key);
        return std::string(found == rules.papers.checklist.end() || found->second ? "yes" : "no");
    };
    row.set_word = [key](Rules& rules, const std::string& word) { rules.papers.checklist[key] = word == "yes"; };
    return row;
}

std::vector<SettingRow> sheet_settings()
{
    return {
        word_row({"sheet.paper", Measure::word, "by units", "by units|letter|tabloid|a4|a3", "", practice,
                  "Size of the sheets, landscape; by units: tabloid (17 x 11 in) for us, A3 for metric."},
                 [](auto& rules) -> auto& { return rules.papers.size; }),
        number_row({"sheet.margin", Measure::length, "0.4 in", "0 in", "2 in", practice, "Empty rim of every sheet."},
                   [](auto& rules) -> auto& { return rules.papers.margin_m; }),
        turn_row(),
        number_row({"sheet.reach", Measure::length, "10 ft", "0 ft", "200 ft",
                    "Kenilworth IL drainage and grading (10 ft); others require 20 and 50 ft",
                    "Ground shown beyond the lot."},
                   [](auto& rules) -> auto& { return rules.papers.reach_m; }),
        scales_row("sheet.plan_scales_us", "10, 20, 30, 40, 50", returned,
                   "Accepted scales of a plan, feet to the inch; the largest that fits is taken, else several sheets "
                   "at the last.",
                   [](auto& rules) -> auto& { return rules.papers.plan_scales_us_ratio; }),
        scales_row("sheet.plan_scales_metric", "100, 200, 250, 500", practice,
                   "Accepted scales of a plan in meters: 100 stands for 1:100.",
                   [](auto& rules) -> auto& { return rules.papers.plan_scales_metric_ratio; }),
        scales_row("sheet.vertical_scales_us", "1, 2, 5, 10",
                   "a town code's 2 and 5 ft to the inch; 1 and 10: " + practice,
                   "Accepted scales of a profile's heights, feet to the inch.",
                   [](auto& rules) -> auto& { return rules.papers.up_scales_us_ratio; }),
        scales_row("sheet.vertical_scales_metric", "10, 20, 50, 100", practice,
                   "Accepted scales of a profile's heights in meters.",
                   [](auto& rules) -> auto& { return rules.papers.up_scales_metric_ratio; }),
        number_row({"as_built.invert", Measure::length, "1/2 in", "1/16 in", "12 in", practice,
                    "A measured invert that differs more than this from the plan is reported."},
                   [](auto& rules) -> auto& { return rules.papers.invert_tolerance_m; }),
        number_row({"as_built.place", Measure::length, "1 ft", "1 in", "20 ft", practice,
                    "A measured place farther than this from the planned line is reported."},
                   [](auto& rules) -> auto& { return rules.papers.place_tolerance_m; }),
        number_row({"as_built.reading", Measure::length, "0.01 ft", "0.5 mm", "0.1 ft",
                    "rods are divided to 0.01 ft and read to that in the trench; trade practice, from memory",
                    "How finely levels on the laid pipe are read: what is nearer than this to its limit is not "
                    "reported as back-fall, belly, or too little fall or cover."},
                   [](auto& rules) -> auto& { return rules.papers.reading_m; }),
        number_row({"as_built.spacing", Measure::length, "25 ft", "1 ft", "300 ft", practice,
                    "Measured places farther apart than this leave the pipe between them not measured: it is not drawn "
                    "and its gaps are not judged."},
                   [](auto& rules) -> auto& { return rules.papers.measured_spacing_m; }),
    };
}

} // namespace

std::vector<SettingRow> paper_settings()
{
    auto rows = sheet_settings();
    for (const auto& item : checklist_items()) {
        rows.push_back(checklist_row(item));
    }
    return rows;
}

} // namespace trenchwright
