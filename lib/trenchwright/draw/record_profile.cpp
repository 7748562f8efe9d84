#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

const MeasuredTrench& measured_of(const SheetSet& set, const ProfileView& view)
{
    return set.measured[view.number - 1];
}

Interval shown_span(const ProfileView& view)
{
    return {view.trench.laid.problem.ground.front().station_m, view.trench.laid.problem.ground.back().station_m};
}

bool shown(const ProfileView& view, double station_m)
{
    const auto span = shown_span(view);
    return station_m >= span.from_m && station_m <= span.to_m;
}

PageLine page_line(const ProfileView& view, const std::vector<GradePoint>& points, double up_m)
{
    PageLine line;
    for (const auto& point : points) {
        line.push_back(view.to_page(point.station_m, point.invert_elev_m + up_m));
    }
    return line;
}

double top_over_invert_m(const ProfileView& view)
{
    return pipe_top_elev_m(view.trench, profile_length_m(view.trench), 0);
}

void draw_ground_and_plan(ProfileView& view)
{
    PageLine ground;
    for (const auto& point : view.trench.laid.problem.ground) {
        ground.push_back(view.to_page(point.station_m, point.elev_m));
    }
    view.canvas.line(ground, {.ink = palette::ink, .width_pt = 1.4});
    view.labels.block(ground);
    for (const double up_m : {0.0, top_over_invert_m(view)}) {
        const auto line = page_line(view, view.trench.laid.profile.points, up_m);
        view.canvas.line(line, planned_stroke());
        view.labels.avoid(line);
    }
    view.legend.add({.kind = LegendKind::ground_line, .text = "existing ground of the plan"});
    view.legend.add({.kind = LegendKind::planned_pipe, .text = "planned: line, pipe's top and invert"});
}

std::vector<GradePoint> levels_in(const MeasuredTrench& measured, const Interval& span)
{
    std::vector<GradePoint> levels;
    for (const auto& one : measured.inverts) {
        if (one.station_m >= span.from_m && one.station_m <= span.to_m) {
            levels.push_back({.station_m = one.station_m, .invert_elev_m = one.invert_elev_m});
        }
    }
    return levels;
}

void draw_laid_pipe(ProfileView& view, const MeasuredTrench& measured, const std::vector<LaidRun>& runs)
{
    for (const auto& run : runs) {
        const auto levels = levels_in(measured, run.span());
        const auto invert = page_line(view, levels, 0);
        const auto top = page_line(view, levels, top_over_invert_m(view));
        auto ring = top;
        ring.insert(ring.end(), invert.rbegin(), invert.rend());
        view.canvas.clip({view.plot.left_pt, view.plot.top_pt, view.plot.right_pt, view.plot.bottom_pt});
        view.canvas.fill(PageRings{ring}, palette::pipe);
        view.canvas.line(top, {.ink = palette::trench, .width_pt = 0.8});
        view.canvas.line(invert, {.ink = palette::trench, .width_pt = 1.3});
        view.canvas.unclip();
        view.labels.block(top);
        view.labels.block(invert);
        view.legend.add({.kind = LegendKind::pipe, .text = "profile: pipe as laid, straight between measured places"});
    }
    for (const auto& one : measured.inverts) {
        if (shown(view, one.station_m)) {
            const auto at = view.to_page(one.station_m, one.invert_elev_m);
            view.canvas.disc(at, 1.7, palette::trench);
            view.labels.block(box_about(at, {4, 4}));
        }
    }
}

/// A hatched bar on the floor of the plot and words where the pipe would be.
void draw_open_stretches(ProfileView& view, const MeasuredTrench& measured, const std::vector<LaidRun>& runs)
{
    const TextStyle style{.size_pt = 6.4, .bold = true, .ink = palette::soft_ink, .masked = true};
    const auto all = shown_span(view);
    for (const auto& span : not_measured(measured, runs)) {
        const Interval part{std::max(span.from_m, all.from_m), std::min(span.to_m, all.to_m)};
        if (!(part.to_m > part.from_m)) {
            continue;
        }
        const double left = view.to_page(part.from_m, 0).x_pt;
        const double right = view.to_page(part.to_m, 0).x_pt;
        const PageBox bar{left, view.plot.bottom_pt - 5, right, view.plot.bottom_pt};
        draw_not_measured(view.canvas, bar);
        view.labels.block(bar);
        view.legend.add({.kind = LegendKind::not_measured, .text = "profile: pipe not measured"});
        const double middle_m = (part.from_m + part.to_m) / 2;
        const auto at = view.to_page(middle_m, invert_at_m(view.trench.laid.profile.points, middle_m));
        const auto size = view.canvas.text_size("not measured", style);
        if (const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 4, .reach_pt = 40})) {
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, "not measured", style);
        }
    }
}

/// Height of the laid pipe's invert at a station, as far as it is known; else the plan's.
double invert_elev_m(const ProfileView& view, const MeasuredTrench& measured, double station_m)
{
    const auto levels = levels_in(measured, {0, measured.trench->measured.quantities.length_m});
    const bool between =
        !levels.empty() && station_m >= levels.front().station_m && station_m <= levels.back().station_m;
    return between ? invert_at_m(levels, station_m) : invert_at_m(view.trench.laid.profile.points, station_m);
}

/// Where the words have no room the number stays, and the list says the rest.
void draw_fault_at(ProfileView& view, const MeasuredTrench& measured, const RecordFlag& flag)
{
    const double station_m = *flag.finding.station_m;
    const auto at = view.to_page(station_m, invert_elev_m(view, measured, station_m));
    const auto number = std::to_string(flag.number);
    if (label_fault(view.canvas, view.labels, at, number + " " + flag.word) ||
        label_fault(view.canvas, view.labels, at, number)) {
        view.legend.add({.kind = LegendKind::fault, .text = "fault, with its number in the list"});
    }
}

std::vector<ProfileColumn> record_columns(const ProfileView& view, const MeasuredTrench& measured)
{
    const auto units = view.plan.job.rules.units;
    std::vector<ProfileColumn> columns;
    for (const auto& row : as_built_rows(measured)) {
        if (!shown(view, row.station_m)) {
            continue;
        }
        const double ground_m = ground_at_m(view.trench.laid.problem.ground, row.station_m);
        columns.push_back(
            {row.station_m,
             {station_text(row.station_m, units), bare_figure(elev_text(ground_m, units)),
              bare_figure(elev_text(row.planned_elev_m, units)), bare_figure(elev_text(row.invert_elev_m, units)),
              bare_figure(small_text(row.invert_elev_m - row.planned_elev_m, units))}});
    }
    if (columns.size() > 2) { // the ends are never left out
        std::rotate(columns.begin() + 1, columns.end() - 1, columns.end());
    }
    return columns;
}

void draw_record_table(ProfileView& view, const MeasuredTrench& measured, const std::vector<LaidRun>& runs)
{
    const bool us = view.plan.job.rules.units == UnitSystem::us;
    draw_profile_columns(view,
                         {"Station", us ? "Ground ft" : "Ground m", us ? "Planned ft" : "Planned m",
                          us ? "As laid ft" : "As laid m", us ? "Differs in" : "Differs mm"},
                         record_columns(view, measured));
    const auto all = shown_span(view);
    const auto before = view.canvas.drawn_texts().size();
    draw_fall_head(view, "Fall as laid");
    for (const auto& run : runs) {
        const Interval part{std::max(run.span().from_m, all.from_m), std::min(run.span().to_m, all.to_m)};
        draw_fall_row(view, levels_in(measured, part), false);
    }
    const bool no_figure = view.canvas.drawn_texts().size() == before + 1; // the places stand too close
    if (no_figure && !runs.empty()) {
        view.canvas.text({view.plot.left_pt, view.plot.bottom_pt + 2 + 5 * profile_row_pt + 0.8}, "in the table",
                         {.size_pt = 5.6, .ink = palette::heading});
    }
}

} // namespace

void draw_record_profile(ProfileView& view, const SheetSet& set)
{
    const auto& measured = measured_of(set, view);
    const auto runs = laid_runs(measured, set.plan.job.rules.papers.measured_spacing_m);
    view.canvas.fill(view.plot, palette::plot);
    draw_profile_grid(view);
    draw_ground_and_plan(view);
    draw_profile_crossings(view);
    draw_laid_pipe(view, measured, runs);
    view.canvas.outline(corners(view.plot), {.ink = palette::faint_ink, .width_pt = 0.6});
    view.labels.block(PageLine{{view.plot.right_pt, view.plot.top_pt}, {view.plot.right_pt, view.plot.bottom_pt}});
    draw_open_stretches(view, measured, runs);
    draw_record_table(view, measured, runs);
    for (const auto& flag : set.flags) {
        if (flag.trench == view.number && shown(view, *flag.finding.station_m)) {
            draw_fault_at(view, measured, flag);
        }
    }
    draw_profile_title(view);
}

} // namespace trenchwright
