#include "trenchwright/rules/rules.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr std::size_t page_width = 110;
constexpr std::array<std::size_t, 4> column_widths{41, 21, 16, 29};

/// Breaks a text at spaces into lines of at most `width`; a longer word is cut.
std::vector<std::string> wrapped(std::string_view text, std::size_t width)
{
    std::vector<std::string> lines;
    while (text.size() > width) {
        auto end = text.rfind(' ', width);
        const bool cut = end == std::string_view::npos || end == 0;
        end = cut ? width : end;
        lines.emplace_back(text.substr(0, end));
        text.remove_prefix(cut ? end : end + 1);
    }
    lines.emplace_back(text);
    return lines;
}

std::string without_trailing_spaces(std::string line)
{
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

/// One row of cells, each wrapped within its column.
std::string row_text(const std::array<std::string, 4>& cells)
{
    std::array<std::vector<std::string>, 4> columns;
    std::size_t height = 0;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        columns[i] = wrapped(cells[i], column_widths[i]);
        height = std::max(height, columns[i].size());
    }
    std::string text;
    for (std::size_t row = 0; row < height; ++row) {
        std::string line;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const auto& column = columns[i];
            line += fmt::format("{:<{}} ", row < column.size() ? column[row] : "", column_widths[i]);
        }
        text += without_trailing_spaces(line) + "\n";
    }
    return text;
}

std::string range_text(const Setting& setting)
{
    if (setting.measure != Measure::word) {
        return fmt::format("{} to {}", setting.lowest, setting.highest);
    }
    if (setting.lowest.empty()) {
        return "free text";
    }
    std::string words;
    for (const char letter : setting.lowest) {
        words += letter == '|' ? std::string(" | ") : std::string(1, letter);
    }
    return words;
}

/// The default's own words where the value is the default, so that both stand in one unit; else in printed units.
std::string value_text(const Rules& rules, const Rules& shipped, const Setting& setting)
{
    const auto value = rule_text(rules, setting.key);
    const bool known = std::ranges::find(settings(), setting.key, &Setting::key) != settings().end();
    const bool figure = setting.measure != Measure::word;
    return known && figure && value == rule_text(shipped, setting.key) ? setting.fallback : value;
}

std::string setting_text(const Rules& rules, const Rules& shipped, const Setting& setting)
{
    const auto fallback = setting.fallback.empty() ? std::string("none") : setting.fallback;
    auto text = row_text({setting.key, value_text(rules, shipped, setting), fallback, range_text(setting)});
    constexpr std::string_view indent = "    ";
    for (const auto& line : wrapped(fmt::format("{} Source: {}.", setting.help, setting.source), page_width - 4)) {
        text += fmt::format("{}{}\n", indent, line);
    }
    return text;
}

std::vector<Setting> all_settings(const Rules& rules)
{
    std::vector<Setting> all(settings().begin(), settings().end());
    const auto add = [&](const std::vector<SettingRow>& rows) {
        for (const auto& row : rows) {
            const bool shipped = std::ranges::any_of(
                settings(), [&row](const Setting& setting) { return setting.key == row.setting.key; });
            if (!shipped) {
                all.push_back(row.setting);
            }
        }
    };
    for (const auto& [kind, rule] : rules.route.surfaces) {
        add(surface_rows_of(kind));
        add(paving_rows_of(kind));
    }
    return all;
}

} // namespace

std::string rules_text(const Rules& rules)
{
    std::string text = row_text({"setting", "value", "default", "range or words"});
    auto shipped = default_rules();
    shipped.units = rules.units;
    std::string group;
    for (const auto& setting : all_settings(rules)) {
        const auto own_group = setting.key.substr(0, setting.key.find('.'));
        if (own_group != group) {
            group = own_group;
            text += fmt::format("\n[{}]\n", group);
        }
        text += setting_text(rules, shipped, setting);
    }
    return text;
}

} // namespace trenchwright
