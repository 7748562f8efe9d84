#include "trenchwright/rules/rules.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/rules/measure.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <numbers>
#include <set>
#include <utility>

namespace trenchwright {

namespace {

bool allowed_word(std::string_view allowed, std::string_view word)
{
    while (!allowed.empty()) {
        const auto end = std::min(allowed.find('|'), allowed.size());
        if (allowed.substr(0, end) == word) {
            return true;
        }
        allowed.remove_prefix(std::min(end + 1, allowed.size()));
    }
    return false;
}

bool is_currency(std::string_view word)
{
    return word.size() == 3 && std::ranges::all_of(word, [](char letter) { return letter >= 'A' && letter <= 'Z'; });
}

void check_word(const Setting& setting, std::string_view word)
{
    if (!setting.lowest.empty() && !allowed_word(setting.lowest, word)) {
        throw Error(ErrorKind::input, fmt::format("\"{}\" must be one of: {}", word, setting.lowest));
    }
    if (setting.key == "print.currency" && !is_currency(word)) {
        throw Error(ErrorKind::input, fmt::format("\"{}\" is no currency of three capitals, e.g. USD", word));
    }
    const bool printable =
        std::ranges::none_of(word, [](char letter) { return static_cast<unsigned char>(letter) < 32; });
    if (word.empty() || word.size() > 80 || !printable) {
        throw Error(ErrorKind::input, fmt::format("\"{}\" is no word or name of 1 to 80 letters on one line", word));
    }
}

double checked_number(const Setting& setting, std::string_view text, const Rules& rules)
{
    const double value = parse_measure(setting.measure, text);
    const bool inside = value >= parse_measure(setting.measure, setting.lowest) &&
                        value <= parse_measure(setting.measure, setting.highest);
    if (!inside) {
        throw Error(ErrorKind::input,
                    fmt::format("\"{}\" is out of range: {} to {}", text, setting.lowest, setting.highest));
    }
    const auto currency = currency_in(text);
    if (!currency.empty() && currency != rules.currency) {
        throw Error(ErrorKind::input, fmt::format("\"{}\" is not in the job's currency {}", text, rules.currency));
    }
    return value;
}

std::vector<std::string> known_keys()
{
    std::vector<std::string> keys;
    for (const auto& row : setting_rows()) {
        keys.push_back(row.setting.key);
    }
    return keys;
}

/// The nearest key; a key without its group finds its group too.
std::string nearest_key(std::string_view key)
{
    const auto keys = known_keys();
    if (const auto nearest = nearest_word(key, keys); !nearest.empty()) {
        return nearest;
    }
    std::vector<std::string> last_words;
    for (const auto& known : keys) {
        last_words.push_back(known.substr(known.rfind('.') + 1));
    }
    const auto last = nearest_word(key.substr(key.rfind('.') + 1), last_words);
    const auto found = std::ranges::find(last_words, last);
    return found == last_words.end() ? "" : keys[static_cast<std::size_t>(found - last_words.begin())];
}

Error unknown_key(std::string_view key)
{
    const auto nearest = nearest_key(key);
    const auto hint =
        nearest.empty() ? std::string("see `trenchwright rules`") : fmt::format("did you mean \"{}\"?", nearest);
    return Error(ErrorKind::input, fmt::format("unknown setting \"{}\"; {}", key, hint));
}

SettingRow row_named(std::string_view key)
{
    const auto& rows = setting_rows();
    const auto found = std::ranges::find(rows, key, [](const SettingRow& row) { return row.setting.key; });
    if (found != rows.end()) {
        return *found;
    }
    if (const auto kind = surface_kind_in(key)) {
        for (const auto& own_rows : {surface_rows_of(*kind), paving_rows_of(*kind)}) {
            const auto own = std::ranges::find(own_rows, key, [](const SettingRow& row) { return row.setting.key; });
            if (own != own_rows.end()) {
                return *own;
            }
        }
    }
    throw unknown_key(key);
}

void change(Rules& rules, const SettingRow& row, std::string_view text)
{
    try {
        if (row.setting.measure == Measure::word) {
            check_word(row.setting, text);
            row.set_word(rules, std::string(text));
        } else {
            row.set_number(rules, checked_number(row.setting, text, rules));
        }
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", row.setting.key, error.what()));
    }
}

bool is_shipped(std::string_view key)
{
    return std::ranges::any_of(setting_rows(), [key](const SettingRow& row) { return row.setting.key == key; });
}

std::string kind_hint(const std::string& kind)
{
    std::vector<std::string> kinds;
    for (const auto& [known, rule] : default_rules().route.surfaces) {
        kinds.push_back(known);
    }
    const auto nearest = nearest_word(kind, kinds);
    return nearest.empty() ? "" : fmt::format(" (did you mean \"{}\"?)", nearest);
}

/// A mistyped kind would otherwise be a kind of its own that no layer uses.
void check_own_kinds(std::span<const RuleText> texts, const Rules& before)
{
    std::set<std::string> given;
    for (const auto& text : texts) {
        given.insert(text.key);
    }
    for (const auto& text : texts) {
        const auto kind = surface_kind_in(text.key);
        if (!kind || is_shipped(text.key) || before.route.surfaces.contains(*kind)) {
            continue;
        }
        for (const auto& row : surface_rows_of(*kind)) {
            if (!given.contains(row.setting.key)) {
                throw Error(ErrorKind::input,
                            fmt::format("{}{} is no shipped kind of surface{}; a kind of your own needs {} too",
                                        text.where, text.key, kind_hint(*kind), row.setting.key));
            }
        }
    }
}

} // namespace

const std::vector<SettingRow>& setting_rows()
{
    static const std::vector<SettingRow> rows = [] {
        std::vector<SettingRow> all;
        for (auto* group :
             {&drain_settings, &water_settings, &dig_settings, &mark_settings, &route_settings, &rate_settings,
              &fitting_settings, &surface_settings, &footing_settings, &safety_settings, &estimate_settings,
              &cure_settings, &office_settings, &reading_settings, &search_and_print_settings, &paper_settings}) {
            const auto more = group();
            all.insert(all.end(), more.begin(), more.end());
        }
        return all;
    }();
    return rows;
}

std::span<const Setting> settings()
{
    static const std::vector<Setting> all = [] {
        std::vector<Setting> copies;
        for (const auto& row : setting_rows()) {
            copies.push_back(row.setting);
        }
        return copies;
    }();
    return all;
}

Rules default_rules()
{
    Rules rules;
    for (const double angle_deg : {11.25, 22.5, 45.0, 90.0}) {
        rules.fitting_choices.push_back({.fitting = {.angle_rad = angle_deg * std::numbers::pi / 180}});
    }
    rules.water.pipes.resize(3);
    for (const auto& row : setting_rows()) {
        change(rules, row, row.setting.fallback);
    }
    derive_dependent_rules(rules);
    return rules;
}

void set_rule(Rules& rules, std::string_view key, std::string_view text)
{
    Rules changed = rules;
    change(changed, row_named(key), text);
    derive_dependent_rules(changed);
    rules = std::move(changed);
}

void change_rules(Rules& rules, std::span<const RuleText> texts)
{
    check_own_kinds(texts, rules);
    // The currency first: money that names one is compared with it.
    for (const bool currency : {true, false}) {
        for (const auto& [key, text, where] : texts) {
            if ((key == "print.currency") != currency) {
                continue;
            }
            try {
                change(rules, row_named(key), text);
            } catch (const Error& error) {
                throw Error(error.kind(), where + error.what());
            }
        }
    }
}

void set_rules(Rules& rules, std::span<const RuleText> texts)
{
    Rules changed = rules;
    change_rules(changed, texts);
    derive_dependent_rules(changed);
    rules = std::move(changed);
}

std::string rule_text(const Rules& rules, std::string_view key)
{
    const auto row = row_named(key);
    const auto kind = surface_kind_in(key);
    if (kind && !rules.route.surfaces.contains(*kind)) {
        throw unknown_key(key);
    }
    if (row.setting.measure == Measure::word) {
        return row.word(rules);
    }
    return measure_text(row.setting.measure, row.number(rules), rules.units, rules.currency);
}

} // namespace trenchwright
