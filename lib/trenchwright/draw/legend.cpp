#include "trenchwright/draw/legend.hpp"

#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

constexpr double sample_width_pt = 30;
constexpr double row_height_pt = 11;

PageLine level_line(const PageBox& sample)
{
    const double y = sample.center().y_pt;
    return {{sample.left_pt, y}, {sample.right_pt, y}};
}

void sample_mark(Canvas& canvas, const PageBox& sample, const LegendItem& item)
{
    const auto line = level_line(sample);
    const bool probable = item.kind == LegendKind::probable_run;
    draw_mark_line(canvas, line, item.facility, probable);
    draw_letters(canvas, sample.center(), item.facility, probable);
}

void sample_tree(Canvas& canvas, const PagePoint& at)
{
    canvas.circle(at, 4.6, {.ink = palette::plant, .width_pt = 0.7, .dashes_pt = {3, 2}});
    canvas.disc(at, 1.4, palette::plant);
}

/// The strip about a mark as the plan has it, shown at one kind for all.
Ink faint(Facility facility, double opacity_ratio)
{
    return {.rgb = mark_style(facility).ink.rgb, .opacity_ratio = opacity_ratio};
}

void sample_area(Canvas& canvas, const PageBox& sample, const LegendItem& item)
{
    const auto box = box_about(sample.center(), {22, 7.5});
    switch (item.kind) {
    case LegendKind::surface: draw_surface(canvas, {corners(box)}, item.nth); return;
    case LegendKind::right_of_way: canvas.fill(box, palette::street); break;
    case LegendKind::neighbor: canvas.fill(box, palette::outside); break;
    case LegendKind::foundation:
    case LegendKind::neighbor_building: canvas.fill(box, palette::building); break;
    case LegendKind::hand_zone: canvas.hatch({corners(box)}, hand_hatch()); break;
    case LegendKind::tolerance: canvas.fill(box, faint(Facility::communication, 0.14)); return;
    case LegendKind::depth_unknown: canvas.fill(box, faint(Facility::water, 0.18)); return;
    case LegendKind::keep_out: draw_keep_out(canvas, {corners(box)}); return;
    case LegendKind::pipe:
        canvas.fill(box_about(sample.center(), {22, 4}), palette::pipe);
        canvas.outline(corners(box_about(sample.center(), {22, 4})), {.ink = palette::trench, .width_pt = 0.7});
        return;
    default: break;
    }
    canvas.outline(corners(box), {.ink = palette::soft_ink, .width_pt = 0.5});
}

void sample(Canvas& canvas, const PageBox& box, const LegendItem& item)
{
    const auto at = box.center();
    switch (item.kind) {
    case LegendKind::trench: canvas.line(level_line(box), trench_stroke()); return;
    case LegendKind::flow:
        canvas.line(level_line(box), trench_stroke());
        draw_flow(canvas, at, {1, 0});
        return;
    case LegendKind::bend: draw_bend(canvas, at); return;
    case LegendKind::cleanout: draw_cleanout(canvas, at); return;
    case LegendKind::junction: draw_junction(canvas, at); return;
    case LegendKind::pothole: draw_pothole(canvas, at); return;
    case LegendKind::pit: draw_pit(canvas, at); return;
    case LegendKind::footing_drain: canvas.line(level_line(box), footing_stroke()); return;
    case LegendKind::crossing: draw_crossing(canvas, at, Facility::water); return;
    case LegendKind::mark:
    case LegendKind::probable_run: sample_mark(canvas, box, item); return;
    case LegendKind::outlet: draw_outlet(canvas, at, item.outlet, false); return;
    case LegendKind::outlet_refused: draw_outlet(canvas, at, item.outlet, true); return;
    case LegendKind::source: draw_source(canvas, at, item.source); return;
    case LegendKind::lot_line: canvas.line(level_line(box), lot_line_stroke()); return;
    case LegendKind::tree: sample_tree(canvas, at); return;
    case LegendKind::spot: draw_spot(canvas, at); return;
    case LegendKind::contour: canvas.line(level_line(box), {.ink = palette::contour, .width_pt = 0.6}); return;
    case LegendKind::ground_line: canvas.line(level_line(box), {.ink = palette::ink, .width_pt = 1.4}); return;
    case LegendKind::planned_pipe: canvas.line(level_line(box), planned_stroke()); return;
    case LegendKind::laid_line: canvas.line(level_line(box), laid_stroke()); return;
    case LegendKind::measured_place: draw_measured_place(canvas, at, true); return;
    case LegendKind::level_only: draw_measured_place(canvas, at, false); return;
    case LegendKind::not_measured: draw_not_measured(canvas, box_about(at, {22, 5})); return;
    case LegendKind::fault: draw_fault(canvas, at); return;
    case LegendKind::refused_place: draw_refused_place(canvas, at); return;
    case LegendKind::closing: canvas.line(level_line(box), {.ink = palette::stop, .width_pt = 1.6}); return;
    case LegendKind::nearest_line: canvas.line(level_line(box), nearest_stroke()); return;
    case LegendKind::trench_bottom:
        canvas.line(level_line(box), {.ink = palette::ink, .width_pt = 0.8, .dashes_pt = {4, 2}});
        return;
    default: sample_area(canvas, box, item);
    }
}

} // namespace

void Legend::add(const LegendItem& item)
{
    const auto same = [&](const LegendItem& other) { return other.kind == item.kind && other.text == item.text; };
    if (std::any_of(items_.begin(), items_.end(), same)) {
        return;
    }
    const auto before = [](const LegendItem& a, const LegendItem& b) { return a.kind < b.kind; };
    items_.insert(std::upper_bound(items_.begin(), items_.end(), item, before), item);
}

void Legend::draw_sample(Canvas& canvas, const PageBox& box, const LegendItem& item)
{
    sample(canvas, box, item);
}

double Legend::draw(Canvas& canvas, const PageBox& box) const
{
    const bool one_column = static_cast<double>(items_.size()) * row_height_pt <= box.height_pt();
    const int columns = one_column ? 1 : 2;
    const auto rows = one_column ? items_.size() : (items_.size() + 1) / 2;
    const double column_width = box.width_pt() / columns;
    for (std::size_t i = 0; i < items_.size(); ++i) {
        const auto column = i / rows;
        const double left = box.left_pt + column_width * static_cast<double>(column);
        const double top = box.top_pt + row_height_pt * static_cast<double>(i % rows);
        sample(canvas, box_at({left, top}, {sample_width_pt, row_height_pt}), items_[i]);
        TextStyle style{.size_pt = 6.8};
        const double room = column_width - sample_width_pt - 10;
        while (canvas.text_size(items_[i].text, style).width_pt > room && style.size_pt > 5) {
            style.size_pt -= 0.2;
        }
        const double height = canvas.text_size(items_[i].text, style).height_pt;
        canvas.text({left + sample_width_pt + 5, top + (row_height_pt - height) / 2}, items_[i].text, style);
    }
    return box.top_pt + row_height_pt * static_cast<double>(rows);
}

} // namespace trenchwright
