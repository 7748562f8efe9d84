#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

void draw_planned_line(PlanView& view, const TrenchPlan& trench)
{
    const auto line = to_page(view, trench.line.route.line);
    view.canvas.line(line, {.ink = palette::paper, .width_pt = 2.4});
    view.canvas.line(line, planned_stroke());
    draw_station_ticks(view, trench);
    view.labels.block(line);
    view.legend.add({.kind = LegendKind::planned_pipe, .text = "planned: line, pipe's top and invert"});
}

/// Only pieces with a measured place at both ends: elsewhere the planned line stands for it.
void draw_laid_line(PlanView& view, const LaidRun& run)
{
    for (std::size_t i = 0; i < run.placed.size(); ++i) {
        if (run.placed[i]) {
            const PageLine piece = to_page(view, {run.line[i], run.line[i + 1]});
            view.canvas.line(piece, laid_stroke());
            view.labels.block(piece);
            view.legend.add({.kind = LegendKind::laid_line, .text = "plan: pipe as laid, between measured places"});
        }
    }
}

void draw_places(PlanView& view, const MeasuredTrench& measured)
{
    for (const auto& one : measured.inverts) {
        const auto on_line = point_at(measured.trench->line.route.line, one.station_m);
        const auto at = view.transform.to_page(one.at.value_or(on_line));
        draw_measured_place(view.canvas, at, one.at.has_value());
        view.labels.block(box_about(at, {5, 5}));
        view.legend.add(one.at ? LegendItem{.kind = LegendKind::measured_place, .text = "measured place of the pipe"}
                               : LegendItem{.kind = LegendKind::level_only,
                                            .text = "level only: place not measured, drawn on the planned line"});
    }
}

} // namespace

void draw_laid_lines(PlanView& view, const SheetSet& set)
{
    for (const auto& measured : set.measured) {
        draw_planned_line(view, *measured.trench);
        for (const auto& run : laid_runs(measured, set.plan.job.rules.papers.measured_spacing_m)) {
            draw_laid_line(view, run);
        }
    }
    for (const auto& measured : set.measured) {
        draw_places(view, measured);
    }
    draw_trench_symbols(view);
}

void label_faults(PlanView& view, const SheetSet& set)
{
    for (const auto& flag : set.flags) {
        const auto at = view.transform.to_page(*flag.finding.at);
        if (!inside(view.frame, at)) {
            continue;
        }
        if (label_fault(view.canvas, view.labels, at, std::to_string(flag.number))) {
            view.legend.add({.kind = LegendKind::fault, .text = "fault, with its number in the list"});
        }
    }
}

} // namespace trenchwright
