#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

const TextStyle body{.size_pt = 6.6};

std::string fault_word(const Finding& finding)
{
    const bool grave = finding.severity == Severity::stop;
    if (finding.rule == "drain.min_fall") {
        return grave ? "back-fall" : "too flat";
    }
    if (finding.rule == "as_built.belly") {
        return "belly";
    }
    if (finding.rule == "ground_cover.min_cover") {
        return "cover";
    }
    return finding.rule == "as_built.place" ? "off its line" : "gap";
}

/// The faults that end or begin at a measured place.
std::string faults_at(const SheetSet& set, const MeasuredTrench& measured, double station_m)
{
    constexpr double same_m = 1e-6;
    std::vector<std::string> found;
    for (const auto& flag : set.flags) {
        if (flag.trench == measured.number && std::abs(*flag.finding.station_m - station_m) < same_m) {
            found.push_back(fmt::format("{} {}", flag.number, flag.word));
        }
    }
    return fmt::format("{}", fmt::join(found, ", "));
}

std::string open_words(const Interval& span, const MeasuredTrench& measured, UnitSystem units)
{
    const bool whole = span.from_m <= 0 && span.to_m >= measured.trench->measured.quantities.length_m;
    return whole
               ? "not measured"
               : fmt::format("{} to {} not measured", station_text(span.from_m, units), station_text(span.to_m, units));
}

} // namespace

std::vector<RecordFlag> record_flags(const JobPlan& plan, const std::vector<MeasuredTrench>& measured)
{
    std::vector<RecordFlag> flags;
    for (const auto& one : measured) {
        for (const auto& finding : record_findings(plan, one)) {
            if (finding.severity != Severity::note) {
                flags.push_back({.number = flags.size() + 1,
                                 .trench = one.number,
                                 .word = fault_word(finding),
                                 .finding = finding});
            }
        }
    }
    return flags;
}

void change_table(ColumnText& column, const SheetSet& set)
{
    const auto units = set.plan.job.rules.units;
    const bool us = units == UnitSystem::us;
    for (const auto& measured : set.measured) {
        column.heading(fmt::format("Trench {}: planned and laid", measured.number));
        std::vector<std::vector<std::string>> rows{{"Station", us ? "Plan ft" : "Plan m", us ? "Laid ft" : "Laid m",
                                                    us ? "Off in" : "Off mm", "Fall %", "Fault"}};
        for (const auto& row : as_built_rows(measured)) {
            rows.push_back({station_text(row.station_m, units), bare_figure(elev_text(row.planned_elev_m, units)),
                            bare_figure(elev_text(row.invert_elev_m, units)),
                            bare_figure(small_text(row.invert_elev_m - row.planned_elev_m, units)),
                            row.fall_ratio ? fmt::format("{:.2f}", *row.fall_ratio * 100) : "",
                            faults_at(set, measured, row.station_m)});
        }
        if (rows.size() > 1) {
            column.table(rows, {0.18, 0.155, 0.155, 0.13, 0.14, 0.24});
        }
        const auto runs = laid_runs(measured, set.plan.job.rules.papers.measured_spacing_m);
        for (const auto& span : not_measured(measured, runs)) {
            column.paragraph(open_words(span, measured, units), body);
        }
    }
}

void fault_list(ColumnText& column, const SheetSet& set)
{
    std::vector<std::vector<std::string>> rows{{"", "Trench", "What was found"}};
    for (const auto& flag : set.flags) {
        rows.push_back({std::to_string(flag.number), std::to_string(flag.trench),
                        fmt::format("{}: {}", display_name(flag.finding.severity), flag.finding.text)});
    }
    column.heading("Faults");
    if (rows.size() == 1) {
        column.paragraph("None at the measured places. What lies between them is not known.", body);
    } else {
        column.table(rows, {0.07, 0.17, 0.76});
    }
    std::vector<std::string> notes;
    for (const auto& measured : set.measured) {
        for (const auto& finding : record_findings(set.plan, measured)) {
            if (finding.severity == Severity::note) {
                notes.push_back(fmt::format("Trench {}: {}", measured.number, finding.text));
            }
        }
    }
    if (!notes.empty()) {
        column.heading("Noted");
        for (const auto& note : notes) {
            column.paragraph(note, body);
        }
    }
}

void record_notes(ColumnText& column, const SheetSet& set)
{
    const auto& rules = set.plan.job.rules;
    column.heading("Notes");
    column.paragraph(
        fmt::format("This is a record from levels at points. It says nothing of what lies between them: a pipe drawn "
                    "between two measured places is taken as straight, and where they are more than {} apart it is not "
                    "drawn.",
                    length_text(rules.papers.measured_spacing_m, rules.units)),
        body);
    column.paragraph("Stations are those of the plan. Ground, cover and the depth of marks are the plan's; a depth "
                     "unknown stays unknown.",
                     body);
    column.paragraph(fmt::format("Levels are taken as read to {}.", small_text(rules.papers.reading_m, rules.units)),
                     body);
    for (const auto& note : lasting_notes(set)) {
        note_paragraph(column, note);
    }
    column.heading("Cautions");
    for (const auto& caution : cautions()) {
        column.paragraph(caution, body);
    }
}

} // namespace trenchwright
