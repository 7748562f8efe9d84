#include "trenchwright/plan/mark_findings.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

std::string width_words(const CrossingRecord& record, const Rules& rules)
{
    return record.width_taken
               ? fmt::format(", its width taken as {}", small_text(rules.clearances.unknown_width_m, rules.units))
               : "";
}

/// Depth unknown, or no depth to go by.
std::string unknown_text(const CrossingRecord& record, const Rules& rules)
{
    const auto& [from, to] = record.conflict_depth_m;
    const std::string why = record.exposing == Exposing::depth_unknown
                                ? "depth unknown"
                                : "depth unknown, " + std::string(exposing_text(record.exposing));
    return fmt::format("{}. Pothole it by hand before the grade is fixed. Conflict if the top of the utility "
                       "is between {} and {} "
                       "below grade (required clearance {}{}).",
                       why, depth_text(from, rules.units), depth_text(to, rules.units),
                       depth_text(record.gap_required_m, rules.units), width_words(record, rules));
}

std::string known_text(const Crossing& crossing, const CrossingRecord& record, const Rules& rules)
{
    const UnitSystem u = rules.units;
    const bool kept = record.exposing == Exposing::recorded;
    const double gap = record.passing->gap_m;
    const std::string place = gap < 0 ? fmt::format("the pipe would meet it, {} too {}", small_text(-gap, u),
                                                    record.passing->over ? "low to pass over" : "high to pass under")
                                      : fmt::format("the pipe passes {} with a gap of {}",
                                                    record.passing->over ? "over" : "under", depth_text(gap, u));
    return fmt::format("top recorded at {} where it was exposed; by that record {}, required {}{}. {}",
                       elev_text(*crossing.facility_top_elev_m, u), place, depth_text(record.gap_required_m, u),
                       width_words(record, rules),
                       kept ? "Re-pothole it by hand." : "Pothole it by hand before the grade is fixed.");
}

Finding crossing_finding(const Crossing& crossing, const CrossingRecord& record, const Site& site, const Rules& rules)
{
    const auto& mark = site.marks[crossing.mark];
    const auto what = mark.probable() ? mark_name_and_advice(mark)
                                      : fmt::format("{} ({})", facility_name(mark.facility), paint_words(mark));
    const std::string where = fmt::format("{} crosses at {}: ", what, station_text(crossing.station_m, rules.units));
    return {.severity = Severity::warning,
            .rule = record.passing && before_grade(record.exposing) ? "clearance" : "marks.depth",
            .text = where + (record.passing ? known_text(crossing, record, rules) : unknown_text(record, rules)),
            .at = crossing.at,
            .station_m = crossing.station_m};
}

double degrees_of(double angle_rad)
{
    return angle_rad * 180 / std::numbers::pi;
}

Finding flat_finding(const Crossing& crossing, const Site& site, const Rules& rules)
{
    return {.severity = Severity::warning,
            .rule = "route.wanted_crossing_angle",
            .text = fmt::format("Crosses {} at {} at {:.0f} deg; {:.0f} deg or steeper is wanted: the hand-dig zone "
                                "grows with a flatter crossing.",
                                mark_name_and_advice(site.marks[crossing.mark]),
                                station_text(crossing.station_m, rules.units), degrees_of(crossing.angle_rad),
                                degrees_of(rules.route.wanted_crossing_angle_rad)),
            .at = crossing.at,
            .station_m = crossing.station_m};
}

Finding along_finding(const ParallelRun& run, const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const UnitSystem u = rules.units;
    const auto& mark = site.marks[run.mark];
    const std::string near =
        run.gap_m > 0 ? fmt::format("{} from it at the nearest", depth_text(run.gap_m, u)) : "upon it at the nearest";
    const std::string asked =
        run.too_near
            ? fmt::format(", {} is required{}", depth_text(separation_from(mark.facility, rules.clearances).side_m, u),
                          accuracy_words(mark, u))
            : "";
    return {.severity = Severity::warning,
            .rule = run.too_near ? "clearance" : "route.min_crossing_angle",
            .text = fmt::format("{} {} from {} to {}, {}{}: {}{}.",
                                run.too_near ? "Lies nearer than the side gap to" : "Runs along",
                                mark_name_and_advice(mark), station_text(run.span.from_m, u),
                                station_text(run.span.to_m, u), length_text(run.span.to_m - run.span.from_m, u),
                                run.in_zone ? ", in its hand-dig zone" : "", near, asked),
            .at = point_at(trench.line.route.line, run.span.from_m),
            .station_m = run.span.from_m};
}

} // namespace

std::string gap_to_mark_words(const Mark& mark, const Point& at, const Rules& rules)
{
    const double edge_m = distance_m(at, mark.line) - mark.width_m.value_or(0) / 2;
    return fmt::format("{} {}: {} is required{}", edge_m > 0 ? depth_text(edge_m, rules.units) + " from" : "upon",
                       mark_name_and_advice(mark), depth_text(rules.route.structure_gap_m, rules.units),
                       accuracy_words(mark, rules.units));
}

namespace {

/// A line that lies on the mark meets it at many places: it is told as running along, not as a crossing at 1 degree.
bool runs_along_there(const TrenchPlan& trench, const Crossing& crossing)
{
    return std::ranges::any_of(trench.measured.along, [&](const ParallelRun& run) {
        return run.mark == crossing.mark && crossing.station_m >= run.span.from_m &&
               crossing.station_m <= run.span.to_m;
    });
}

} // namespace

std::vector<Finding> mark_findings(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    std::vector<Finding> findings;
    for (std::size_t i = 0; i < trench.measured.crossings.size(); ++i) {
        const auto& crossing = trench.measured.crossings[i];
        findings.push_back(crossing_finding(crossing, trench.measured.records[i], site, rules));
        if (crossing.angle_rad < rules.route.wanted_crossing_angle_rad && !runs_along_there(trench, crossing)) {
            findings.push_back(flat_finding(crossing, site, rules));
        }
    }
    for (const auto& run : trench.measured.along) {
        findings.push_back(along_finding(run, trench, site, rules));
    }
    return findings;
}

} // namespace trenchwright
