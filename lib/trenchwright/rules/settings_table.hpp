#pragma once

#include "trenchwright/rules/rules.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// A setting bound to its place in Rules. Words use the word pair, every other measure the number pair (SI).
struct SettingRow {
    Setting setting;
    std::function<double(const Rules&)> number;
    std::function<void(Rules&, double)> set_number;
    std::function<std::string(const Rules&)> word;
    std::function<void(Rules&, const std::string&)> set_word;
};

/// Binds a row to one field: `field` takes Rules& or const Rules& and returns a reference into it.
template <typename Field> SettingRow number_row(Setting setting, const Field& field)
{
    SettingRow row;
    row.setting = std::move(setting);
    row.number = [field](const Rules& rules) { return static_cast<double>(field(rules)); };
    row.set_number = [field](Rules& rules, double value) { field(rules) = value; };
    return row;
}
template <typename Field> SettingRow word_row(Setting setting, const Field& field)
{
    SettingRow row;
    row.setting = std::move(setting);
    row.word = [field](const Rules& rules) { return field(rules); };
    row.set_word = [field](Rules& rules, const std::string& word) { field(rules) = word; };
    return row;
}
template <typename Field> SettingRow yes_no_row(Setting setting, const Field& field)
{
    SettingRow row;
    row.setting = std::move(setting);
    row.word = [field](const Rules& rules) { return std::string(field(rules) ? "yes" : "no"); };
    row.set_word = [field](Rules& rules, const std::string& word) { field(rules) = word == "yes"; };
    return row;
}

// The table by group, each in printing order.
std::vector<SettingRow> drain_settings();
std::vector<SettingRow> water_settings();
std::vector<SettingRow> dig_settings();
std::vector<SettingRow> mark_settings(); ///< what is done about the marks, and how a place is found again
std::vector<SettingRow> route_settings();
std::vector<SettingRow> rate_settings();
std::vector<SettingRow> fitting_settings();
std::vector<SettingRow> surface_settings();
std::vector<SettingRow> footing_settings();  ///< footing drain, cleanouts, material list
std::vector<SettingRow> safety_settings();   ///< footing wedge, setbacks, trees, protection, spoil, yard
std::vector<SettingRow> estimate_settings(); ///< variants to compare, doubt of the levels
std::vector<SettingRow> cure_settings();   ///< how far a change may go that would let a refused outlet work
std::vector<SettingRow> office_settings();   ///< tickets and the locate request
std::vector<SettingRow> reading_settings();  ///< what is believed of the files
std::vector<SettingRow> search_and_print_settings();
std::vector<SettingRow> paper_settings(); ///< sheets, record drawing, checklist

/// Roughness of the pipe that the drain is planned with; stands among the drain's own.
SettingRow planned_inside_row();

/// The three rows that one kind of surface that is not shipped must have; their fallbacks are empty.
std::vector<SettingRow> surface_rows_of(const std::string& kind);
/// The two it may have besides: slab and vehicles.
std::vector<SettingRow> paving_rows_of(const std::string& kind);
/// "lawn" from "surfaces.lawn.restore"; nothing for any other key.
std::optional<std::string> surface_kind_in(std::string_view key);

/// The whole shipped table.
const std::vector<SettingRow>& setting_rows();

/// set_rules without the settling; on an error `rules` may be half changed.
void change_rules(Rules& rules, std::span<const RuleText> texts);
/// Works out what follows from other settings. @throws Error (input) when they contradict each other
void derive_dependent_rules(Rules& rules);

} // namespace trenchwright
