#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <string_view>
#include <vector>

/// What people in and beside a trench must know before they go on, for every paper that they carry.
namespace trenchwright {

/// One finding, said once for all the trenches that have it.
struct FindingLine {
    const Finding* finding = nullptr;
    std::vector<std::size_t> trenches; ///< by number, as on the sheets, from 1; none: of the whole job
};
/// Findings of an outlet's trenches, those that are no notes, the gravest first; else in the order of the trenches.
/// @param plan  outlives the lines, as does `outcome`
std::vector<FindingLine> graded_findings(const OutletOutcome& outcome);
/// For the box on top of the crew's papers and the sheets: every STOP, of the job too, then what holds along a
/// stretch (a ladder, a protective system). Empty: nothing to say.
std::vector<FindingLine> alert_lines(const JobPlan& plan, const OutletOutcome& outcome);
/// "STOP, trench 1: Lies below ..."; "Warning, trenches 1 and 3: ..."; "STOP: ...".
std::string line_text(const FindingLine& line);

/// A line of the box.
struct Alert {
    Severity severity = Severity::note;
    std::string text;
    friend bool operator==(const Alert&, const Alert&) = default;
};
/// The box in full sentences, as line_text.
std::vector<Alert> full_alerts(const JobPlan& plan, const OutletOutcome& outcome);
/// The box where there is little room: "STOP footing, trench 1: 0+54.20 to 0+56.57, 0+58.61 to 0+60.81", and from which
/// cuts on ladders and protection are asked.
std::vector<Alert> short_alerts(const JobPlan& plan, const OutletOutcome& outcome);
/// Its heading: with a STOP in it nobody digs on.
std::string_view alert_heading(const std::vector<Alert>& alerts);

/// For the row of a station: "STOP footing from here; ladder; protect: shore to here"; empty: nothing holds there.
std::string alert_words(const TrenchPlan& trench, double station_m);
/// Where such stretches begin and end, by rising station.
std::vector<double> alert_stations_m(const TrenchPlan& trench);
/// Rows nearer than this to an end of a stretch belong to it: nobody finds a station by tape more closely.
inline constexpr double alert_row_m = 0.05;

} // namespace trenchwright
