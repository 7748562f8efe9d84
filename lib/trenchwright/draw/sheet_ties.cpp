#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/report/cut_sheet.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

/// The places a reviewer wants tied: ends, fittings and crossings; the cut sheet has every station.
void tie_table(ColumnText& column, const SheetSet& set)
{
    if (set.outcome == nullptr || set.plan.site.foundations.empty()) {
        return;
    }
    const auto units = set.plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"Trench", "Station", "Swing ties", "Check"}};
    for (const auto& sheet : cut_sheets(set.plan, *set.outcome)) {
        for (const auto& row : sheet.rows) {
            const bool end = &row == &sheet.rows.front() || &row == &sheet.rows.back();
            const bool crossing =
                std::ranges::any_of(row.expected, [](const Expected& expected) { return expected.crosses; });
            if (!end && row.fitting.empty() && !crossing) {
                continue;
            }
            auto two = tape_text(row.ties, 0, units) + ", " + tape_text(row.ties, 1, units);
            two = row.ties.ties.size() < 2 ? "none: too few corners" : two;
            two += row.ties.fault == TieFault::none || row.ties.ties.size() < 2 ? "" : " (weak tie)";
            rows.push_back(
                {std::to_string(sheet.number), station_text(row.station_m, units), two, tape_text(row.ties, 2, units)});
        }
    }
    column.heading("Tape ties from the building's corners");
    column.table(rows, {0.14, 0.19, 0.41, 0.26});
    column.shows(SheetThing::tie_table);
}

} // namespace trenchwright
