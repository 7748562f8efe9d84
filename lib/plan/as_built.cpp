#include "plan/as_built.hpp"

#include "geom/measure.hpp"
#include "plan/laid_pipe.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

double least_cover_at_m(const ProfileProblem& problem, double station_m)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto& span : problem.least_cover_m) {
        if (station_m >= span.span.from_m && station_m <= span.span.to_m) {
            least = std::min(least, span.value); // where two surfaces meet, the easier one
        }
    }
    return std::isfinite(least) ? least : 0;
}

void sort_by_station(std::vector<Finding>& findings)
{
    std::ranges::stable_sort(findings, {}, [](const Finding& finding) { return *finding.station_m; });
}

/// Collects findings at stations of one trench.
struct Notes {
    const MeasuredTrench& measured;
    std::vector<Finding> findings{};
    void add(Severity severity, const std::string& rule, const std::string& text, double station_m)
    {
        findings.push_back({.severity = severity,
                            .rule = rule,
                            .text = text,
                            .at = point_at(measured.trench->route.line, station_m),
                            .station_m = station_m});
    }
};

void fall_finding(Notes& notes, const AsBuiltRow& lower, const AsBuiltRow& row, const Rules& rules)
{
    const auto units = rules.units;
    const double readable_m = rules.papers.reading_m;
    const auto where =
        fmt::format("between {} and {}", station_text(lower.station_m, units), station_text(row.station_m, units));
    const double drop_m = lower.invert_elev_m - row.invert_elev_m;
    if (drop_m > readable_m) {
        notes.add(Severity::blocker, "drain.least_fall",
                  fmt::format("Back-fall {}: the upper invert lies {} below the lower one.", where,
                              small_text(drop_m, units)),
                  row.station_m);
    } else if (*row.fall_ratio < rules.route.least_fall_ratio - readable_m / (row.station_m - lower.station_m)) {
        notes.add(Severity::warning, "drain.least_fall",
                  fmt::format("Fall of {:.2f} % {}; {:.2f} % is the least.", *row.fall_ratio * 100, where,
                              rules.route.least_fall_ratio * 100),
                  row.station_m);
    }
}

void place_findings(Notes& notes, const AsBuiltRow& row, const Rules& rules)
{
    const auto units = rules.units;
    const double readable_m = rules.papers.reading_m;
    const auto station = station_text(row.station_m, units);
    if (row.standing_m > readable_m) {
        notes.add(Severity::warning, "as_built.belly",
                  fmt::format("Belly at {}: water stands {} deep.", station, small_text(row.standing_m, units)),
                  row.station_m);
    }
    if (row.cover_m < row.least_cover_m - readable_m) {
        notes.add(Severity::warning, "surfaces.least_cover",
                  fmt::format("Cover at {} is {}; {} was to be kept.", station, depth_text(row.cover_m, units),
                              depth_text(row.least_cover_m, units)),
                  row.station_m);
    }
    const double off_m = row.invert_elev_m - row.planned_elev_m;
    if (std::abs(off_m) > rules.papers.invert_tolerance_m) {
        notes.add(Severity::note, "as_built.invert",
                  fmt::format("Invert at {} lies {} {} the plan's.", station, small_text(std::abs(off_m), units),
                              off_m > 0 ? "above" : "below"),
                  row.station_m);
    }
}

void off_line_finding(Notes& notes, const MeasuredInvert& one, const Rules& rules)
{
    if (!one.at) {
        return;
    }
    const double off_m = distance_m(*one.at, notes.measured.trench->route.line);
    if (off_m > rules.papers.place_tolerance_m) {
        notes.add(Severity::warning, "as_built.place",
                  fmt::format("The pipe at {} lies {} off its planned line. Crossings, hand-dig zones and cover there "
                              "are not those of the plan.",
                              station_text(one.station_m, rules.units), length_text(off_m, rules.units)),
                  one.station_m);
    }
}

} // namespace

std::vector<AsBuiltRow> as_built_rows(const MeasuredTrench& measured)
{
    const auto& problem = measured.trench->problem;
    std::vector<AsBuiltRow> rows;
    double highest_m = -std::numeric_limits<double>::infinity();
    for (const auto& one : measured.inverts) {
        AsBuiltRow row;
        row.station_m = one.station_m;
        row.invert_elev_m = one.invert_elev_m;
        row.planned_elev_m = invert_at_m(measured.trench->profile.points, one.station_m);
        row.cover_m = problem.section.cover_m(ground_at_m(problem.ground, one.station_m), one.invert_elev_m);
        row.least_cover_m = least_cover_at_m(problem, one.station_m);
        if (!rows.empty()) {
            row.fall_ratio = (one.invert_elev_m - rows.back().invert_elev_m) / (one.station_m - rows.back().station_m);
            row.standing_m = std::max(highest_m - one.invert_elev_m, 0.0);
        }
        highest_m = std::max(highest_m, one.invert_elev_m);
        rows.push_back(row);
    }
    return rows;
}

std::vector<Finding> as_built_findings(const MeasuredTrench& measured, const Rules& rules)
{
    Notes notes{.measured = measured};
    const auto rows = as_built_rows(measured);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (i > 0 && !measured.trench->pressure) {
            fall_finding(notes, rows[i - 1], rows[i], rules);
        }
        auto row = rows[i];
        row.standing_m = measured.trench->pressure ? 0 : row.standing_m; // a pressure line may climb
        place_findings(notes, row, rules);
    }
    for (const auto& one : measured.inverts) {
        off_line_finding(notes, one, rules);
    }
    sort_by_station(notes.findings);
    return std::move(notes.findings);
}

std::vector<Finding> record_findings(const JobPlan& plan, const MeasuredTrench& measured)
{
    auto findings = as_built_findings(measured, plan.job.rules);
    const auto gaps = laid_gap_findings(measured, plan.site, plan.ground, plan.job.rules);
    findings.insert(findings.end(), gaps.begin(), gaps.end());
    sort_by_station(findings);
    return findings;
}

} // namespace trenchwright
