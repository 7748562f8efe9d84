#include "trenchwright/base/text.hpp"
#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <numbers>

namespace trenchwright {

namespace {

const TextStyle body{.size_pt = 6.6};

std::string degrees(double angle_rad)
{
    return fmt::format("{:.1f}°", angle_rad * 180 / std::numbers::pi);
}

std::string fitting_text(const Bend& bend)
{
    std::vector<std::string> parts;
    for (const double angle_rad : bend.fitting_angles_rad) {
        parts.push_back(fmt::format("{:g}°", angle_rad * 180 / std::numbers::pi));
    }
    if (parts.empty()) {
        return "bend in the joints";
    }
    return fmt::format("bend {}, joints {}", fmt::join(parts, " + "), degrees(bend.deflection_rad));
}

std::string surfaces_text(const SheetSet& set)
{
    std::map<std::string, double> cut_m2;
    for (const auto* trench : set.trenches) {
        for (const auto& [kind, area_m2] : trench->measured.quantities.restore_m2) {
            cut_m2[kind] += area_m2;
        }
    }
    std::vector<std::string> parts;
    for (const auto& [kind, area_m2] : cut_m2) {
        parts.push_back(display_name(kind) + " " + area_text(area_m2, set.plan.job.rules.units));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string pipe_note(const SheetSet& set)
{
    const auto& rules = set.plan.job.rules;
    const auto& section = rules.route.section;
    return fmt::format("Pipe: {}, outside diameter {}. Trench {} wide, {} bedding under the pipe. Minimum fall {}.",
                       rules.pipe_name, diameter_text(section.outside_diameter_m, rules.units),
                       small_text(section.width_m, rules.units), small_text(section.bedding_m, rules.units),
                       fall_text(rules.route.min_fall_ratio, rules.units));
}

std::string bearing_note(const SheetSet& set)
{
    const auto& frame = set.plan.site.frame;
    if (frame.wkt.empty()) {
        return "Bearings run from the tape's axis, not from north. Lengths as measured.";
    }
    const double off = (frame.grid_to_ground_ratio - 1) * 1e6;
    return fmt::format("Bearings from grid north, lengths on the grid of {}. On the ground they are {:.0f} parts in a "
                       "million {}.",
                       frame.name, std::abs(off), off < 0 ? "shorter" : "longer");
}

/// What the job states, or that it does not.
SheetNote stated_note(const std::string& name, const std::string& stated, SheetThing thing)
{
    return stated.empty() ? SheetNote{name + ": not stated."} : SheetNote{name + ": " + stated, thing};
}

/// What is still to be done, so only on a plan.
std::vector<SheetNote> work_notes(const SheetSet& set)
{
    const auto& rules = set.plan.job.rules;
    const auto& record = set.plan.job.sheet;
    std::vector<SheetNote> notes;
    if (!set.trenches.empty()) {
        notes.push_back({"Surfaces cut: " + surfaces_text(set) + ".", SheetThing::surfaces_cut_note});
    }
    notes.push_back(stated_note("Restoration", record.restoration, SheetThing::restoration_note));
    notes.push_back(stated_note("Start and duration", record.start, SheetThing::start_note));
    notes.push_back(
        {fmt::format("Hand-dig zones reach {} beyond each mark's outer edge, and its position accuracy more. "
                     "Width unknown is taken as 0.",
                     small_text(rules.route.tolerance_m, rules.units))});
    return notes;
}

} // namespace

void trench_table(ColumnText& column, const SheetSet& set)
{
    const auto units = set.plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"", "From", "Length", "By hand", "Max. cut", "Min. cover"}};
    for (std::size_t i = 0; i < set.trenches.size(); ++i) {
        const auto& trench = *set.trenches[i];
        const auto by_cover = [](const Depth& a, const Depth& b) { return a.cover_m < b.cover_m; };
        const double cover_m = std::ranges::min_element(trench.measured.depths, by_cover)->cover_m;
        rows.push_back({std::to_string(i + 1), set.plan.site.sources[trench.source].id,
                        length_text(trench.measured.quantities.length_m, units),
                        hand_length_text(hand_dig(set.plan.site, trench), units),
                        depth_text(trench.measured.quantities.max_cut_m, units), depth_text(cover_m, units)});
    }
    if (rows.size() > 1) {
        column.heading("Trenches");
        column.table(rows, {0.05, 0.14, 0.17, 0.19, 0.225, 0.225});
        column.shows(SheetThing::trench_table);
    }
}

void crossing_table(ColumnText& column, const SheetSet& set)
{
    const auto units = set.plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"", "Station", "Line and paint"}};
    std::vector<double> shares{0.07, 0.21, 0.72};
    if (!set.record()) {
        rows[0].emplace_back("By hand");
        shares = {0.07, 0.21, 0.48, 0.24};
    }
    int number = 0;
    for (std::size_t i = 0; i < set.trenches.size(); ++i) {
        for (const auto& crossing : set.trenches[i]->measured.crossings) {
            const auto& mark = set.plan.site.marks[crossing.mark];
            const auto depth = crossing.facility_top_elev_m
                                   ? "top " + elev_text(*crossing.facility_top_elev_m, units) + ", exposed"
                                   : std::string("depth unknown");
            rows.push_back({std::to_string(++number),
                            fmt::format("trench {}\n{}", i + 1, station_text(crossing.station_m, units)),
                            mark.probable() ? fmt::format("{}; {}", mark_name_and_advice(mark), depth)
                                            : fmt::format("{}, {}, level {}; {}", mark_name(mark),
                                                          paint_words(mark, " "), quality_word(mark), depth)});
            if (!set.record()) {
                rows.back().push_back(fmt::format("{} to\n{}", station_text(crossing.hand_span.from_m, units),
                                                  station_text(crossing.hand_span.to_m, units)));
            }
        }
    }
    if (rows.size() > 1) {
        column.heading(set.record() ? "Crossings of the plan" : "Crossings");
        column.table(rows, shares);
    }
}

void fitting_table(ColumnText& column, const SheetSet& set)
{
    const auto units = set.plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"Trench", "Station", "Fitting"}};
    for (std::size_t i = 0; i < set.trenches.size(); ++i) {
        const auto& trench = *set.trenches[i];
        std::vector<std::pair<double, std::string>> fittings;
        if (trench.joins) {
            fittings.emplace_back(0, fmt::format("wye of {} at {} of {}", degrees(trench.joins->angle_rad),
                                                 station_text(trench.joins->station_m, units),
                                                 set.plan.site.sources[trench.joins->source].id));
        }
        for (const auto& bend : trench.line.bends) {
            fittings.emplace_back(bend.station_m, fitting_text(bend));
        }
        if (const auto& reduced = trench.laid.reduced) {
            fittings.emplace_back(reduced->length_m, "reducer to " + reduced->pipe);
        }
        for (const auto& vertical : trench.laid.grades.bends) {
            fittings.emplace_back(vertical.bend.station_m, "vertical " + fitting_text(vertical.bend));
        }
        for (const auto& cleanout : trench.laid.cleanouts) {
            fittings.emplace_back(cleanout.station_m, "cleanout");
        }
        std::ranges::stable_sort(fittings, {}, [](const auto& one) { return one.first; });
        for (const auto& [station_m, text] : fittings) {
            rows.push_back({std::to_string(i + 1), station_text(station_m, units), text});
        }
    }
    if (rows.size() > 1) {
        column.heading(set.record() ? "Fittings of the plan" : "Fittings");
        column.table(rows, {0.16, 0.22, 0.62});
    }
}

std::vector<SheetNote> lasting_notes(const SheetSet& set)
{
    std::vector<SheetNote> notes{{pipe_note(set), SheetThing::pipe_note}, {bearing_note(set)}};
    if (const auto& floor_m = set.plan.job.floor_elev_m) {
        notes.push_back(
            {"Inside floor: " + elev_text(*floor_m, set.plan.job.rules.units) + ".", SheetThing::floor_note});
    }
    for (const auto& line : not_supplied_lines(set.plan)) {
        notes.push_back({line});
    }
    for (const auto& own : set.plan.job.sheet.notes) {
        notes.push_back({own});
    }
    return notes;
}

void note_paragraph(ColumnText& column, const SheetNote& note)
{
    column.paragraph(note.text, body);
    if (note.shows) {
        column.shows(*note.shows);
    }
}

void sheet_notes(ColumnText& column, const SheetSet& set)
{
    column.heading("Notes");
    for (const auto& notes : {work_notes(set), lasting_notes(set)}) {
        for (const auto& note : notes) {
            note_paragraph(column, note);
        }
    }
    column.heading("Cautions");
    for (const auto& caution : cautions()) {
        column.paragraph(caution, body);
    }
    const auto asked = set.outcome == nullptr ? std::vector<FindingLine>{} : graded_findings(*set.outcome);
    if (!asked.empty()) {
        column.heading("To check");
    }
    for (const auto& line : asked) {
        auto style = body;
        style.bold = line.finding->severity == Severity::stop;
        column.paragraph(line_text(line), style);
    }
}

void contact_block(ColumnText& column, const SheetSet& set)
{
    column.heading("Contacts");
    if (set.plan.job.sheet.contacts.empty()) {
        column.paragraph("None supplied.", body);
    }
    for (const auto& contact : set.plan.job.sheet.contacts) {
        std::string text = contact.role + ": " + contact.name;
        for (const auto& more : {contact.address, contact.phone}) {
            text += more.empty() ? "" : ", " + more;
        }
        column.paragraph(text, body);
        column.shows(SheetThing::contacts);
    }
}

} // namespace trenchwright
