#include "trenchwright/report/crew_alerts.hpp"

#include "trenchwright/base/text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

bool for_the_crew(const Finding& finding)
{
    return finding.severity == Severity::stop || !finding.row_words.empty();
}

/// Of several trenches the same words make one line.
void add_line(std::vector<FindingLine>& lines, const Finding& finding, std::size_t trench)
{
    const auto same = std::ranges::find_if(lines, [&](const FindingLine& line) {
        return line.finding->severity == finding.severity && line.finding->text == finding.text;
    });
    if (same == lines.end()) {
        lines.push_back({.finding = &finding, .trenches = {trench}});
    } else if (same->trenches.back() != trench) {
        same->trenches.push_back(trench);
    }
}

void sort_by_gravity(std::vector<FindingLine>& lines)
{
    std::ranges::stable_sort(
        lines, [](const FindingLine& a, const FindingLine& b) { return a.finding->severity > b.finding->severity; });
}

std::string trenches_text(const std::vector<std::size_t>& numbers)
{
    std::string text;
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        text += fmt::format("{}{}", i == 0 ? "" : i + 1 == numbers.size() ? " and " : ", ", numbers[i]);
    }
    return text.empty() ? "" : fmt::format(", {} {}", numbers.size() > 1 ? "trenches" : "trench", text);
}

/// Stretch on which a finding holds; a single place where it names none.
std::optional<Interval> held_by(const Finding& finding)
{
    if (finding.from_station_m && finding.to_station_m) {
        return Interval{*finding.from_station_m, *finding.to_station_m};
    }
    return finding.station_m ? std::optional(Interval{*finding.station_m, *finding.station_m}) : std::nullopt;
}

std::string words_of(const Finding& finding)
{
    return finding.row_words.empty() ? "STOP" : finding.row_words;
}

std::string stretch_text(const Finding& finding, UnitSystem units)
{
    const auto held = held_by(finding);
    if (!held) {
        return "";
    }
    const auto from = station_text(held->from_m, units);
    return held->to_m > held->from_m ? from + " to " + station_text(held->to_m, units) : "at " + from;
}

std::string words_at(const Finding& finding, const Interval& held, double station_m)
{
    const auto words = words_of(finding);
    const bool first = station_m <= held.from_m + alert_row_m;
    const bool last = station_m >= held.to_m - alert_row_m;
    return words + (first && last ? " here" : first ? " from here" : last ? " to here" : "");
}

} // namespace

std::vector<FindingLine> graded_findings(const OutletOutcome& outcome)
{
    std::vector<FindingLine> lines;
    const auto trenches = trenches_of(&outcome);
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        for (const auto& finding : trenches[i]->findings) {
            if (finding.severity != Severity::note) {
                add_line(lines, finding, i + 1);
            }
        }
    }
    sort_by_gravity(lines);
    return lines;
}

std::vector<FindingLine> alert_lines(const JobPlan& plan, const OutletOutcome& outcome)
{
    auto lines = graded_findings(outcome);
    std::erase_if(lines, [](const FindingLine& line) { return !for_the_crew(*line.finding); });
    for (const auto& finding : plan.findings) {
        if (finding.severity == Severity::stop) {
            lines.push_back({.finding = &finding, .trenches = {}});
        }
    }
    sort_by_gravity(lines);
    return lines;
}

std::string line_text(const FindingLine& line)
{
    return fmt::format("{}{}: {}", display_name(line.finding->severity), trenches_text(line.trenches),
                       line.finding->text);
}

std::vector<Alert> full_alerts(const JobPlan& plan, const OutletOutcome& outcome)
{
    std::vector<Alert> all;
    for (const auto& line : alert_lines(plan, outcome)) {
        all.push_back({.severity = line.finding->severity, .text = line_text(line)});
    }
    return all;
}

std::string_view alert_heading(const std::vector<Alert>& alerts)
{
    const bool stop = std::ranges::any_of(alerts, [](const Alert& one) { return one.severity == Severity::stop; });
    return stop ? "STOP. Not to be dug as planned: an engineer decides or the plan is changed"
                : "Before anyone goes into the trench";
}

std::vector<Alert> short_alerts(const JobPlan& plan, const OutletOutcome& outcome)
{
    std::vector<Alert> all;
    std::vector<std::string> starts;
    for (const auto& line : alert_lines(plan, outcome)) {
        const auto& finding = *line.finding;
        const auto start = words_of(finding) + trenches_text(line.trenches) + ": ";
        // A STOP of the whole job has no stretch: its own sentence then.
        const auto stretch = line.trenches.empty() ? finding.text : stretch_text(finding, plan.job.rules.units);
        const auto same = std::ranges::find(starts, start);
        if (same == starts.end()) {
            starts.push_back(start);
            all.push_back({.severity = finding.severity, .text = start + stretch});
        } else {
            all[static_cast<std::size_t>(same - starts.begin())].text += ", " + stretch;
        }
    }
    if (!all.empty()) {
        const auto& rules = plan.job.rules;
        all.push_back({.severity = Severity::note,
                       .text = fmt::format("A ladder is required from a cut of {} on, protection from {}.",
                                           depth_text(rules.egress_and_air_test_cut_m, rules.units),
                                           depth_text(rules.protective_system_cut_m, rules.units))});
    }
    return all;
}

std::string alert_words(const TrenchPlan& trench, double station_m)
{
    std::vector<std::string> all;
    for (const auto severity : {Severity::stop, Severity::warning, Severity::note}) {
        for (const auto& finding : trench.findings) {
            const auto held = held_by(finding);
            const bool here = finding.severity == severity && for_the_crew(finding) && held &&
                              station_m >= held->from_m - alert_row_m && station_m <= held->to_m + alert_row_m;
            const auto words = here ? words_at(finding, *held, station_m) : "";
            if (here && std::ranges::find(all, words) == all.end()) {
                all.push_back(words);
            }
        }
    }
    std::string text;
    for (const auto& words : all) {
        text += (text.empty() ? "" : "; ") + words;
    }
    return text;
}

std::vector<double> alert_stations_m(const TrenchPlan& trench)
{
    std::vector<double> stations;
    for (const auto& finding : trench.findings) {
        const auto held = held_by(finding);
        if (held && for_the_crew(finding)) {
            stations.insert(stations.end(), {held->from_m, held->to_m});
        }
    }
    std::ranges::sort(stations);
    return stations;
}

} // namespace trenchwright
