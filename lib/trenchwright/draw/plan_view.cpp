#include "trenchwright/draw/plan_view.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double outlet_reach_m = 12; // farther parts of a long curb line need not be shown

void append(std::vector<Point>& all, const Polyline& line)
{
    all.insert(all.end(), line.begin(), line.end());
}

std::vector<Point> place_points(const Outlet& outlet)
{
    if (const auto* point = std::get_if<Point>(&outlet.place)) {
        return {*point};
    }
    if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
        return *line;
    }
    return std::get<Polygon>(outlet.place).outer;
}

Point clamped(const Box& box, const Point& p)
{
    return {std::clamp(p.x_m, box.min_x_m, box.max_x_m), std::clamp(p.y_m, box.min_y_m, box.max_y_m)};
}

/// North arrow at the right end of the strip below the frame.
void draw_north(PlanView& view, const PageBox& strip)
{
    const bool tape = view.plan.site.frame.wkt.empty();
    const std::string text = tape ? "site north: tape axis" : "grid north";
    const TextStyle style{.size_pt = 6.6};
    const auto size = view.canvas.text_size(text, style);
    const double x = strip.right_pt - 8;
    const double bottom = strip.bottom_pt - 1;
    const double top = strip.top_pt + 2;
    view.canvas.line({{x, bottom}, {x, top + 1}}, {.ink = palette::ink, .width_pt = 1.1});
    view.canvas.fill(PageRings{{{x, top}, {x - 3.8, top + 10}, {x, top + 7.4}, {x + 3.8, top + 10}}}, palette::ink);
    const auto drawn = view.canvas.text({x - 9 - size.width_pt, strip.center().y_pt - size.height_pt / 2}, text, style);
    const TextStyle letter{.size_pt = 10, .bold = true};
    const auto n = view.canvas.text_size("N", letter);
    view.canvas.text({drawn.left_pt - n.width_pt - 4, strip.center().y_pt - n.height_pt / 2}, "N", letter);
}

/// The stated scale and a bar of round blocks at the left end of the strip.
void draw_scale(PlanView& view, const PageBox& strip)
{
    const double right = draw_scale_bar(view, strip, 120).blocks_pt;
    const bool us = view.plan.job.rules.units == UnitSystem::us;
    const auto text =
        fmt::format("Plan: {} at full sheet size ({})", view.scale.text, us ? "17 x 11 in" : "432 x 279 mm");
    view.canvas.text({right + 22, strip.center().y_pt - 4}, text, {.size_pt = 6.6, .bold = true});
}

} // namespace

BarEnds draw_scale_bar(PlanView& view, const PageBox& strip, double room_pt)
{
    const bool us = view.plan.job.rules.units == UnitSystem::us;
    const double unit_m = us ? ft_in_m : 1;
    const double room_units = room_pt * view.transform.meters_per_pt / unit_m;
    const double step = round_step_ratio(room_units, 4);
    const double block_pt = step * unit_m / view.transform.meters_per_pt;
    const int blocks = static_cast<int>(room_units / step);
    const TextStyle figures{.size_pt = 5.8};
    const double left = strip.left_pt + 4;
    const double y = strip.bottom_pt - 3;
    BarEnds ends{.blocks_pt = left + blocks * block_pt, .figures_pt = left};
    for (int i = 0; i <= blocks; ++i) {
        const double x = left + i * block_pt;
        if (i < blocks) {
            const PageBox block{x, y - 4, x + block_pt, y};
            view.canvas.fill(block, i % 2 == 0 ? palette::ink : palette::paper);
            view.canvas.outline(corners(block), {.ink = palette::ink, .width_pt = 0.5});
        }
        const auto figure = fmt::format("{:g}{}", i * step, i == blocks ? (us ? " ft" : " m") : "");
        ends.figures_pt = view.canvas.text({x - 2, y - 12}, figure, figures).right_pt;
    }
    return ends;
}

std::vector<const TrenchPlan*> shown_trenches(const JobPlan& plan)
{
    return trenches_of(drawn_outlet(plan));
}

Box shown_part(const JobPlan& plan)
{
    std::vector<Point> core;
    for (const auto& lot : plan.site.parcel) {
        append(core, lot.outer);
    }
    for (const auto& house : plan.site.foundations) {
        append(core, house.outer);
    }
    for (const auto& source : plan.site.sources) {
        core.push_back(source.at);
    }
    for (const auto* trench : shown_trenches(plan)) {
        append(core, trench->line.route.line);
    }
    if (core.empty()) {
        for (const auto& outlet : plan.site.outlets) {
            append(core, place_points(outlet));
        }
    }
    const Box reach = grown(bounds(core), outlet_reach_m);
    for (const auto& outlet : plan.site.outlets) {
        for (const auto& p : place_points(outlet)) {
            core.push_back(std::holds_alternative<Point>(outlet.place) ? p : clamped(reach, p));
        }
    }
    return bounds(core);
}

PageLine to_page(const PlanView& view, const Polyline& line)
{
    PageLine points;
    for (const auto& p : line) {
        points.push_back(view.transform.to_page(p));
    }
    return points;
}

PageRings to_page(const PlanView& view, const Polygon& area)
{
    PageRings rings{to_page(view, area.outer)};
    for (const auto& hole : area.holes) {
        rings.push_back(to_page(view, hole));
    }
    return rings;
}

void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Point& at)
{
    if (inside(view.frame, view.transform.to_page(at))) {
        view.canvas.shows(thing, nth);
    }
}

void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Polyline& line)
{
    if (!clipped(to_page(view, line), view.frame).empty()) {
        view.canvas.shows(thing, nth);
    }
}

void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Polygon& area)
{
    if (contains(area, view.transform.to_site(view.frame.center()))) {
        view.canvas.shows(thing, nth); // as large as the frame: its edge may lie all outside
    }
    note_shown(view, thing, nth, closed(area.outer));
}

bool label(PlanView& view, const LabelWish& wish, const std::string& text, const TextStyle& style)
{
    auto sized = wish;
    sized.size = view.canvas.text_size(text, style);
    const auto placed = view.labels.place(sized);
    if (!placed) {
        return false;
    }
    if (placed->leader) {
        view.canvas.line(*placed->leader, {.ink = palette::soft_ink, .width_pt = 0.4});
    }
    view.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
    return true;
}

void draw_plan_view(Canvas& canvas, const JobPlan& plan, const PageBox& box, const DrawScale& scale, Legend& legend)
{
    auto frame = box;
    frame.bottom_pt -= plan_strip_pt;
    const Box part = shown_part(plan);
    const Point center{(part.min_x_m + part.max_x_m) / 2, (part.min_y_m + part.max_y_m) / 2};
    PlanView view{.canvas = canvas,
                  .plan = plan,
                  .trenches = shown_trenches(plan),
                  .frame = frame,
                  .scale = scale,
                  .transform = {scale.meters_per_pt, center, frame.center()},
                  .labels = LabelPlacer(grown(frame, -2)),
                  .legend = legend};
    canvas.clip(frame);
    draw_areas(view);
    draw_ground(view);
    draw_buildings(view);
    draw_footing_drain(view);
    draw_marks(view);
    draw_trenches(view);
    draw_cleanouts(view);
    draw_ends(view);
    draw_refusals(view);
    label_marks(view);
    label_ends(view);
    label_refusals(view);
    label_trenches(view);
    label_areas(view);
    label_stations(view);
    label_ground(view);
    canvas.unclip();
    canvas.outline(corners(frame), {.ink = palette::soft_ink, .width_pt = 0.7});
    const PageBox strip{box.left_pt, frame.bottom_pt + 2, box.right_pt, box.bottom_pt};
    draw_scale(view, strip);
    draw_north(view, strip);
}

} // namespace trenchwright
