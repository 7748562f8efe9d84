#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

SettingRow headings_row()
{
    SettingRow row;
    row.setting = {"search.headings",
                   Measure::word,
                   "8",
                   "8|16",
                   "",
                   "common practice, no source",
                   "Directions of the lattice: 8 takes 45 deg bends, 16 takes 22 1/2 deg ones too and more time."};
    row.word = [](const Rules& rules) { return std::to_string(rules.route.headings); };
    row.set_word = [](Rules& rules, const std::string& word) { rules.route.headings = word == "16" ? 16 : 8; };
    return row;
}

SettingRow label_budget_row()
{
    SettingRow row;
    row.setting = {"search.label_budget",
                   Measure::count,
                   "20000000",
                   "1000",
                   "2000000000",
                   "measured on the method's prototype (2.6 GB in its worst case)",
                   "Labels one search may make; when they run out, the best line found and its proven gap are given."};
    row.number = [](const Rules& rules) { return static_cast<double>(rules.route.label_budget); };
    row.set_number = [](Rules& rules, double value) { rules.route.label_budget = static_cast<long long>(value); };
    return row;
}

SettingRow drain_label_budget_row()
{
    SettingRow row;
    row.setting = {"search.drain_label_budget",
                   Measure::count,
                   "3000000",
                   "1000",
                   "200000000",
                   "common practice, no source",
                   "Labels the search for one drain of several sources may make; when they run out, each source gets a "
                   "trench of its own."};
    row.number = [](const Rules& rules) { return static_cast<double>(rules.route.drain_label_budget); };
    row.set_number = [](Rules& rules, double value) { rules.route.drain_label_budget = static_cast<long long>(value); };
    return row;
}

SettingRow units_row()
{
    SettingRow row;
    row.setting = {"print.units",
                   Measure::word,
                   "us",
                   "us|metric",
                   "",
                   "common practice, no source",
                   "Units of everything printed: feet and inches, or meters. Not given: metric where the job's heights "
                   "([units] elevations) are in meters, else us."};
    row.word = [](const Rules& rules) { return std::string(rules.units == UnitSystem::us ? "us" : "metric"); };
    row.set_word = [](Rules& rules, const std::string& word) {
        rules.units = word == "us" ? UnitSystem::us : UnitSystem::metric;
    };
    return row;
}

} // namespace

std::vector<SettingRow> search_and_print_settings()
{
    return {
        number_row({"search.cell", Measure::length, "0.25 m", "0.05 m", "2 m",
                    "measured on the method's prototype (0.02 s at 256 x 256 cells)", "Cell of the search lattice."},
                   [](auto& rules) -> auto& { return rules.route.cell_m; }),
        headings_row(),
        label_budget_row(),
        drain_label_budget_row(),
        units_row(),
        word_row({"print.currency", Measure::word, "USD", "", "", "ISO 4217",
                  "Currency of the job's money, three capitals; nothing is converted. Not given: that of the rates "
                  "file, else USD, with a warning where the job is metric."},
                 [](auto& rules) -> auto& { return rules.currency; }),
        number_row({"print.depth_step_us", Measure::length, "5 ft", "1 in", "100 ft", "common practice, no source",
                    "Spacing of the depth table when print.units is us."},
                   [](auto& rules) -> auto& { return rules.depth_step_us_m; }),
        number_row({"print.depth_step_metric", Measure::length, "1 m", "10 mm", "50 m", "common practice, no source",
                    "Spacing of the depth table when print.units is metric."},
                   [](auto& rules) -> auto& { return rules.depth_step_metric_m; }),
    };
}

} // namespace trenchwright
