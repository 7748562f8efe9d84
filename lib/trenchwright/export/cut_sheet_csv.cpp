#include "trenchwright/export/cut_sheet_csv.hpp"

#include "trenchwright/export/csv.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <fmt/format.h>
#include <functional>

namespace trenchwright {

namespace {

/// What a cell is made from.
struct Place {
    const JobPlan& plan;
    const CutSheet& sheet;
    const CutRow& row;
    [[nodiscard]] UnitSystem units() const { return plan.job.rules.units; }
    [[nodiscard]] bool us() const { return units() == UnitSystem::us; }
    /// Heights to 0.01 ft or 1 mm, as they are staked.
    [[nodiscard]] std::string figure(double length_m) const
    {
        return us() ? fmt::format("{:.2f}", length_m / ft_in_m) : fmt::format("{:.3f}", length_m);
    }
    [[nodiscard]] std::string figure(const std::optional<double>& length_m) const
    {
        return length_m ? figure(*length_m) : "";
    }
};

struct Column {
    std::string name; ///< "{}" stands for the unit
    std::function<std::string(const Place&)> cell;
};

std::string rod_note(const Place& place)
{
    return place.row.rod_bottom_m && *place.row.rod_bottom_m < 0 ? "trench bottom above the line of sight" : "";
}

std::string ties_note(const Place& place)
{
    switch (place.row.ties.fault) {
    case TieFault::none: return "";
    case TieFault::flat_arcs: return "arcs cross flatly: measure with care";
    case TieFault::beyond_tape: return "beyond one tape";
    case TieFault::too_few_corners: return "no ties: too few corners";
    }
    return "";
}

const std::vector<Column>& columns()
{
    static const std::vector<Column> all{
        {"row", [](const Place&) { return std::string("station"); }},
        {"trench", [](const Place& p) { return std::to_string(p.sheet.number); }},
        {"from_source", [](const Place& p) { return p.plan.site.sources[p.sheet.trench->source].id; }},
        {"to_outlet", [](const Place& p) { return p.plan.site.outlets[p.sheet.trench->outlet].id; }},
        {"station", [](const Place& p) { return station_text(p.row.station_m, p.units()); }},
        {"station_{}", [](const Place& p) { return p.figure(p.row.station_m); }},
        {"tie_1", [](const Place& p) { return tape_text(p.row.ties, 0, p.units()); }},
        {"tie_2", [](const Place& p) { return tape_text(p.row.ties, 1, p.units()); }},
        {"tie_check", [](const Place& p) { return tape_text(p.row.ties, 2, p.units()); }},
        {"tie_note", ties_note},
        {"ground_{}", [](const Place& p) { return p.figure(p.row.ground_elev_m); }},
        {"invert_{}", [](const Place& p) { return p.figure(p.row.invert_elev_m); }},
        {"trench_bottom_{}", [](const Place& p) { return p.figure(p.row.bottom_elev_m); }},
        {"cut_{}", [](const Place& p) { return p.figure(p.row.cut_m); }},
        {"cut_to_rule", [](const Place& p) { return depth_text(p.row.cut_m, p.units()); }},
        {"cover_{}", [](const Place& p) { return p.figure(p.row.cover_m); }},
        {"cover_to_rule", [](const Place& p) { return depth_text(p.row.cover_m, p.units()); }},
        {"grade_rod_bottom_{}", [](const Place& p) { return p.figure(p.row.rod_bottom_m); }},
        {"grade_rod_bottom_to_rule",
         [](const Place& p) { return p.row.rod_bottom_m ? depth_text(*p.row.rod_bottom_m, p.units()) : ""; }},
        {"rod_on_invert_{}", [](const Place& p) { return p.figure(p.row.rod_invert_m); }},
        {"slope_downstream_percent",
         [](const Place& p) {
             const auto& fall = p.row.fall_to_next_ratio;
             return fall ? fmt::format("{:.2f}", *fall * 100) : std::string();
         }},
        {"safety", [](const Place& p) { return p.row.alert; }},
        {"dig", [](const Place& p) { return dig_text(p.row.by_hand, "hand"); }},
        {"expect", [](const Place& p) { return expected_text(p.plan.site, p.row, p.units()); }},
        {"fitting", [](const Place& p) { return p.row.fitting; }},
        {"hub_top_{}", [](const Place& p) { return p.figure(p.row.hub_top_elev_m); }},
        {"hub_to_invert",
         [](const Place& p) {
             const auto& hub = p.row.hub_top_elev_m;
             return hub ? hub_text(*hub, p.row.invert_elev_m, p.units()) : std::string();
         }},
        {"done", [](const Place&) { return std::string(); }},
        {"as_built_invert_{}", [](const Place&) { return std::string(); }},
        {"note", rod_note},
    };
    return all;
}

/// A row that is no station: what it is in the first cell, its words in the last.
std::string words_row(const std::string& what, const std::string& words, std::size_t columns)
{
    std::vector<std::string> cells(columns);
    cells.front() = what;
    cells.back() = words;
    return csv_row(cells);
}

} // namespace

std::string cut_sheet_csv(const JobPlan& plan)
{
    const std::string unit = plan.job.rules.units == UnitSystem::us ? "ft" : "m";
    std::vector<std::string> heads;
    for (const auto& column : columns()) {
        auto name = column.name;
        if (const auto at = name.find("{}"); at != std::string::npos) {
            name.replace(at, 2, unit);
        }
        heads.push_back(name);
    }
    auto text = csv_row(heads);
    for (const auto& line : not_supplied_lines(plan)) {
        text += words_row("not supplied", line, heads.size());
    }
    const auto* outcome = drawn_outlet(plan);
    if (outcome == nullptr) {
        text += words_row("stop", no_trench_text(plan) + ". Do not dig from this page.", heads.size());
    }
    for (const auto& alert : outcome == nullptr ? std::vector<Alert>{} : full_alerts(plan, *outcome)) {
        text += words_row(alert.severity == Severity::stop ? "stop" : "safety", alert.text, heads.size());
    }
    for (const auto& sheet : outcome == nullptr ? std::vector<CutSheet>{} : cut_sheets(plan, *outcome)) {
        for (const auto& row : sheet.rows) {
            std::vector<std::string> cells;
            for (const auto& column : columns()) {
                cells.push_back(column.cell({.plan = plan, .sheet = sheet, .row = row}));
            }
            text += csv_row(cells);
        }
    }
    for (const auto& caution : cautions()) {
        text += words_row("caution", caution, heads.size());
    }
    return text;
}

} // namespace trenchwright
