#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Runs of rows next to each other for which something holds, as first and last index. Over a stretch that was not
/// measured none goes on.
template <class Holds>
std::vector<std::pair<std::size_t, std::size_t>> runs_of(const std::vector<AsBuiltRow>& rows, double spacing_m,
                                                         Holds holds)
{
    std::vector<std::pair<std::size_t, std::size_t>> runs;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (!holds(rows[i])) {
            continue;
        }
        const bool goes_on =
            !runs.empty() && runs.back().second + 1 == i && rows[i].station_m - rows[i - 1].station_m <= spacing_m;
        if (goes_on) {
            runs.back().second = i;
        } else {
            runs.emplace_back(i, i);
        }
    }
    return runs;
}

/// One finding for rows next to each other with the same fault, placed where it is worst.
struct Fault {
    Severity severity = Severity::note;
    std::string rule;
    double (*size_m)(const AsBuiltRow&) = nullptr; ///< the worst row has the most
    /// From where; the worst row; whether there are more than one.
    std::string (*text)(const std::string&, const AsBuiltRow&, bool, UnitSystem) = nullptr;
};

struct Faults {
    const MeasuredTrench& measured;
    const std::vector<AsBuiltRow>& rows;
    const Rules& rules;
    std::vector<Finding> findings{};
};

template <class Holds> void add_runs(Faults& faults, Holds holds, const Fault& fault)
{
    const auto units = faults.rules.units;
    const auto& rows = faults.rows;
    for (const auto& [first, last] : runs_of(rows, faults.rules.papers.measured_spacing_m, holds)) {
        const auto* worst = &rows[first];
        for (auto i = first; i <= last; ++i) {
            worst = fault.size_m(rows[i]) > fault.size_m(*worst) ? &rows[i] : worst;
        }
        const bool many = last > first;
        const auto where = many ? fmt::format("from {} to {}", station_text(rows[first].station_m, units),
                                              station_text(rows[last].station_m, units))
                                : "at " + station_text(rows[first].station_m, units);
        faults.findings.push_back(finding(fault.severity, fault.rule, fault.text(where, *worst, many, units),
                                          point_at(faults.measured.trench->line.route.line, worst->station_m),
                                          worst->station_m));
    }
}

/// Where the worst place is, if that has not been said.
std::string worst_at(const AsBuiltRow& worst, bool many, UnitSystem units)
{
    return many ? " at " + station_text(worst.station_m, units) : "";
}

std::string belly_text(const std::string& where, const AsBuiltRow& worst, bool many, UnitSystem units)
{
    return fmt::format("Belly {}: water stands {} deep{}.", where, small_text(worst.standing_m, units),
                       worst_at(worst, many, units));
}

std::string cover_text(const std::string& where, const AsBuiltRow& worst, bool many, UnitSystem units)
{
    return fmt::format("Cover {} is {}{}; {} was to be kept.", where, depth_text(worst.cover_m, units),
                       worst_at(worst, many, units), depth_text(worst.min_cover_m, units));
}

std::string invert_text(const std::string& where, const AsBuiltRow& worst, bool many, UnitSystem units)
{
    const double off_m = worst.invert_elev_m - worst.planned_elev_m;
    return fmt::format("Invert {} lies {}{} {} the plan's{}.", where, many ? "up to " : "",
                       small_text(std::abs(off_m), units), off_m > 0 ? "above" : "below", worst_at(worst, many, units));
}

std::string place_text(const std::string& where, const AsBuiltRow& worst, bool many, UnitSystem units)
{
    return fmt::format("The pipe {} lies {}{} off its planned line{}. Crossings, hand-dig zones and cover there are "
                       "not those of the plan.",
                       where, many ? "up to " : "", length_text(*worst.off_line_m, units),
                       worst_at(worst, many, units));
}

} // namespace

std::vector<Finding> place_findings(const MeasuredTrench& measured, const std::vector<AsBuiltRow>& rows,
                                    const Rules& rules)
{
    Faults faults{.measured = measured, .rows = rows, .rules = rules};
    const double reading_m = rules.papers.reading_m;
    const double invert_m = rules.papers.invert_tolerance_m;
    const double place_m = rules.papers.place_tolerance_m;
    const bool pressure = measured.trench->pressure; // a pressure line may climb
    const auto add = [&](auto holds, const Fault& fault) { add_runs(faults, holds, fault); };
    add([&](const AsBuiltRow& row) { return !pressure && row.standing_m > reading_m; },
        {Severity::warning, "as_built.belly", [](const AsBuiltRow& row) { return row.standing_m; }, belly_text});
    add([&](const AsBuiltRow& row) { return row.cover_m < row.min_cover_m - reading_m; },
        {Severity::warning, "ground_cover.min_cover",
         [](const AsBuiltRow& row) { return row.min_cover_m - row.cover_m; }, cover_text});
    add([&](const AsBuiltRow& row) { return row.invert_elev_m - row.planned_elev_m > invert_m; },
        {Severity::note, "as_built.invert",
         [](const AsBuiltRow& row) { return row.invert_elev_m - row.planned_elev_m; }, invert_text});
    add([&](const AsBuiltRow& row) { return row.planned_elev_m - row.invert_elev_m > invert_m; },
        {Severity::note, "as_built.invert",
         [](const AsBuiltRow& row) { return row.planned_elev_m - row.invert_elev_m; }, invert_text});
    add([&](const AsBuiltRow& row) { return row.off_line_m && *row.off_line_m > place_m; },
        {Severity::warning, "as_built.place", [](const AsBuiltRow& row) { return *row.off_line_m; }, place_text});
    return std::move(faults.findings);
}

} // namespace trenchwright
