#include "trenchwright/asbuilt/as_built.hpp"

#include "trenchwright/asbuilt/laid_pipe.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

double min_cover_at_m(const ProfileProblem& problem, double station_m)
{
    double least = std::numeric_limits<double>::infinity();
    for (const auto& span : problem.min_cover_m) {
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

/// Back-fall or too little fall, from one measured place up to the next.
std::optional<Finding> fall_finding(const MeasuredTrench& measured, const AsBuiltRow& lower, const AsBuiltRow& row,
                                    const Rules& rules)
{
    const auto units = rules.units;
    const double reading_m = rules.papers.reading_m;
    const auto where =
        fmt::format("between {} and {}", station_text(lower.station_m, units), station_text(row.station_m, units));
    const auto found = [&](Severity severity, const std::string& text) {
        return finding(severity, "drain.min_fall", text, point_at(measured.trench->line.route.line, row.station_m),
                       row.station_m);
    };
    const double drop_m = lower.invert_elev_m - row.invert_elev_m;
    if (drop_m > reading_m) {
        return found(Severity::stop, fmt::format("Back-fall {}: the upper invert lies {} below the lower one.", where,
                                                 small_text(drop_m, units)));
    }
    if (*row.fall_ratio < rules.route.min_fall_ratio - reading_m / (row.station_m - lower.station_m)) {
        return found(Severity::warning, fmt::format("Fall of {:.2f} % {}; the minimum is {:.2f} %.",
                                                    *row.fall_ratio * 100, where, rules.route.min_fall_ratio * 100));
    }
    return std::nullopt;
}

} // namespace

std::vector<AsBuiltRow> as_built_rows(const MeasuredTrench& measured)
{
    const auto& problem = measured.trench->laid.problem;
    std::vector<AsBuiltRow> rows;
    double highest_m = -std::numeric_limits<double>::infinity();
    for (const auto& one : measured.inverts) {
        AsBuiltRow row;
        row.station_m = one.station_m;
        row.invert_elev_m = one.invert_elev_m;
        row.planned_elev_m = invert_at_m(measured.trench->laid.profile.points, one.station_m);
        const auto section = section_at(*measured.trench, one.station_m);
        row.cover_m = section.cover_m(ground_at_m(problem.ground, one.station_m), one.invert_elev_m);
        row.min_cover_m = min_cover_at_m(problem, one.station_m) + reduced_cover_m(*measured.trench, one.station_m);
        if (!rows.empty()) {
            row.fall_ratio = (one.invert_elev_m - rows.back().invert_elev_m) / (one.station_m - rows.back().station_m);
            row.standing_m = std::max(highest_m - one.invert_elev_m, 0.0);
        }
        if (one.at) {
            row.off_line_m = distance_m(*one.at, measured.trench->line.route.line);
        }
        highest_m = std::max(highest_m, one.invert_elev_m);
        rows.push_back(row);
    }
    return rows;
}

std::vector<Finding> as_built_findings(const MeasuredTrench& measured, const Rules& rules)
{
    const auto rows = as_built_rows(measured);
    auto findings = place_findings(measured, rows, rules);
    for (std::size_t i = 1; i < rows.size() && !measured.trench->pressure; ++i) {
        if (auto found = fall_finding(measured, rows[i - 1], rows[i], rules)) {
            findings.push_back(std::move(*found));
        }
    }
    sort_by_station(findings);
    return findings;
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
