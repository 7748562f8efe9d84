#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>

namespace trenchwright {

Stroke planned_stroke()
{
    return {.ink = palette::faint_ink, .width_pt = 0.7, .dashes_pt = {5, 2.5}};
}

Stroke laid_stroke()
{
    return {.ink = palette::trench, .width_pt = 1.8, .dashes_pt = {}};
}

/// A square: full where the place itself was measured, open where only its level was.
void draw_measured_place(Canvas& canvas, const PagePoint& at, bool placed)
{
    const auto box = box_about(at, {4, 4});
    canvas.fill(box, placed ? palette::trench : palette::paper);
    canvas.outline(corners(box), {.ink = palette::trench, .width_pt = 0.8});
}

/// A triangle with a mark of exclamation: seen in grey print too.
void draw_fault(Canvas& canvas, const PagePoint& at)
{
    const PageLine sides{{at.x_pt, at.y_pt - 4.4}, {at.x_pt + 4.4, at.y_pt + 3.2}, {at.x_pt - 4.4, at.y_pt + 3.2}};
    canvas.fill(PageRings{sides}, palette::paper);
    canvas.outline(sides, {.ink = palette::hand, .width_pt = 1});
    canvas.line({{at.x_pt, at.y_pt - 1.8}, {at.x_pt, at.y_pt + 0.9}}, {.ink = palette::hand, .width_pt = 1});
    canvas.disc({at.x_pt, at.y_pt + 2.1}, 0.55, palette::hand);
}

bool label_fault(Canvas& canvas, LabelPlacer& labels, const PagePoint& at, const std::string& text)
{
    constexpr double sign_pt = 11;
    constexpr double sign_height_pt = 9;
    const TextStyle style{.size_pt = 6, .bold = true, .ink = palette::hand, .masked = true};
    const auto size = canvas.text_size(text, style);
    const auto placed = labels.place(
        {.at = at,
         .size = {.width_pt = size.width_pt + sign_pt, .height_pt = std::max(size.height_pt, sign_height_pt)},
         .gap_pt = 6,
         .reach_pt = 70,
         .clearance_pt = 0.5});
    if (!placed) {
        return false;
    }
    if (placed->leader) {
        canvas.line(*placed->leader, {.ink = palette::hand, .width_pt = 0.5});
    }
    const double middle = placed->box.center().y_pt;
    draw_fault(canvas, {placed->box.left_pt + 5, middle + 0.6});
    canvas.text({placed->box.left_pt + sign_pt, middle - size.height_pt / 2}, text, style);
    return true;
}

void draw_not_measured(Canvas& canvas, const PageBox& bar)
{
    canvas.fill(bar, palette::paper);
    canvas.hatch({corners(bar)}, {.ink = palette::soft_ink, .angle_rad = 2.2, .spacing_pt = 2.6, .width_pt = 0.5});
    canvas.outline(corners(bar), {.ink = palette::soft_ink, .width_pt = 0.5});
}

} // namespace trenchwright
