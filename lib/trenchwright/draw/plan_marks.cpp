#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double letters_every_pt = 64;

/// A place for letters along a line at or next to a wanted distance.
std::optional<PagePoint> free_place(const PlanView& view, const PageLine& line, double wanted_pt, const PageSize& size)
{
    for (const double shift_pt : {0.0, 6.0, -6.0, 12.0, -12.0, 18.0, -18.0, 24.0, -24.0}) {
        const double at_pt = wanted_pt + shift_pt;
        if (at_pt < 5 || at_pt > length_pt(line) - 5) {
            continue;
        }
        const auto at = along(line, at_pt).at;
        if (view.labels.is_free(grown(box_about(at, size), 0.6))) {
            return at;
        }
    }
    return std::nullopt;
}

void letter_line(PlanView& view, const PageLine& line, const Mark& mark)
{
    const auto size = letters_size(view.canvas, mark.facility, mark.probable());
    const double length = length_pt(line);
    const auto count = std::max(1.0, std::floor(length / letters_every_pt));
    for (double i = 0; i < count; ++i) {
        const auto at = free_place(view, line, length * (i + 0.5) / count, size);
        if (at) {
            draw_letters(view.canvas, *at, mark.facility, mark.probable());
            view.labels.block(grown(box_about(*at, size), 0.6));
        }
    }
}

/// In words beside it: nobody may take it for a mark.
void name_run(PlanView& view, const Mark& mark)
{
    const auto middle = point_at(mark.line, length_m(mark.line) / 2);
    label(view, {.at = view.transform.to_page(middle), .size = {}, .gap_pt = 5, .reach_pt = 60}, mark_name(mark),
          {.size_pt = 5.8, .ink = mark_style(mark.facility).text, .masked = true});
}

} // namespace

void draw_marks(PlanView& view)
{
    for (const auto& mark : view.plan.site.marks) {
        const double reach_pt = view.transform.length_pt(hand_dig_reach_m(mark, view.plan.job.rules.route));
        const Ink shade{.rgb = mark_style(mark.facility).ink.rgb, .opacity_ratio = mark.may_cross ? 0.10 : 0.28};
        const auto line = to_page(view, mark.line);
        view.canvas.line(line, {.ink = shade, .width_pt = 2 * reach_pt, .round_ends = true});
        view.legend.add({.kind = LegendKind::tolerance, .text = "tolerance zone beside a mark"});
    }
    const auto& marks = view.plan.site.marks;
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const auto& mark = marks[i];
        draw_mark_line(view.canvas, to_page(view, mark.line), mark.facility, mark.probable());
        if (mark.probable()) {
            view.legend.add({.kind = LegendKind::probable_run,
                             .text = fmt::format("probable run of {}, not marked", facility_name(mark.facility)),
                             .facility = mark.facility});
            continue;
        }
        note_shown(view, SheetThing::mark, i, mark.line);
        const auto code = mark_code(mark.facility);
        view.legend.add({.kind = LegendKind::mark,
                         .text = fmt::format("{} ({})", facility_name(mark.facility), code.color),
                         .facility = mark.facility});
    }
}

void label_marks(PlanView& view)
{
    for (const auto& mark : view.plan.site.marks) {
        for (const auto& piece : clipped(to_page(view, mark.line), view.frame)) {
            letter_line(view, piece, mark);
        }
    }
    for (const auto& mark : view.plan.site.marks) {
        view.labels.block(to_page(view, mark.line));
    }
    for (const auto& mark : view.plan.site.marks) {
        if (mark.probable()) {
            name_run(view, mark);
        }
    }
}

} // namespace trenchwright
