#include "draw/plan_view.hpp"

#include "draw/ink.hpp"
#include "geom/measure.hpp"

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

void draw_north(PlanView& view)
{
    const bool tape = view.plan.site.frame.wkt.empty();
    const std::string text = tape ? "site north:\ntape axis" : "grid north";
    const TextStyle style{.size_pt = 6, .ink = palette::soft_ink};
    const auto size = view.canvas.text_size(text, style);
    const PageSize need{std::max(size.width_pt, 24.0) + 8, size.height_pt + 40};
    const auto box = box_at({view.frame.right_pt - need.width_pt - 4, view.frame.top_pt + 4}, need);
    view.canvas.fill(box, {.rgb = palette::paper.rgb, .opacity_ratio = 0.9});
    const double x = box.centre().x_pt;
    const double top = box.top_pt + 12;
    const TextStyle letter{.size_pt = 9, .bold = true};
    const double letter_width = view.canvas.text_size("N", letter).width_pt;
    view.canvas.text({x - letter_width / 2, box.top_pt + 1}, "N", letter);
    view.canvas.line({{x, top + 1}, {x, top + 25}}, {.ink = palette::ink, .width_pt = 1.1});
    view.canvas.fill(PageRings{{{x, top}, {x - 3.6, top + 10}, {x, top + 7.6}, {x + 3.6, top + 10}}}, palette::ink);
    view.canvas.text({x - size.width_pt / 2, top + 26}, text, style);
    view.labels.block(box);
}

/// Blocks of a round length, about a quarter of the frame in all.
void draw_scale_bar(PlanView& view)
{
    const bool us = view.plan.job.rules.units == UnitSystem::us;
    const double unit_m = us ? ft_in_m : 1;
    const double room_units = 130 * view.transform.metres_per_pt / unit_m;
    const double step = round_step_ratio(room_units, 4);
    const double block_pt = step * unit_m / view.transform.metres_per_pt;
    const int blocks = static_cast<int>(room_units / step);
    const std::string text = fmt::format("Scale {} at full sheet size (17 x 11 in)", view.scale.text);
    const TextStyle style{.size_pt = 6.6, .bold = true};
    const auto size = view.canvas.text_size(text, style);
    const PageSize need{std::max(size.width_pt, blocks * block_pt + 24) + 12, size.height_pt + 20};
    const auto box = box_at({view.frame.left_pt + 4, view.frame.bottom_pt - need.height_pt - 4}, need);
    view.canvas.fill(box, {.rgb = palette::paper.rgb, .opacity_ratio = 0.9});
    view.canvas.text({box.left_pt + 5, box.top_pt + 2}, text, style);
    const TextStyle figures{.size_pt = 5.8};
    for (int i = 0; i <= blocks; ++i) {
        const double x = box.left_pt + 8 + i * block_pt;
        const double y = box.bottom_pt - 6;
        if (i < blocks) {
            const PageBox block{x, y - 3, x + block_pt, y};
            view.canvas.fill(block, i % 2 == 0 ? palette::ink : palette::paper);
            view.canvas.outline(corners(block), {.ink = palette::ink, .width_pt = 0.5});
        }
        const auto figure = fmt::format("{:g}{}", i * step, i == blocks ? (us ? " ft" : " m") : "");
        view.canvas.text({x - 2, y - 11}, figure, figures);
    }
    view.labels.block(box);
}

} // namespace

std::vector<const TrenchPlan*> shown_trenches(const JobPlan& plan)
{
    std::vector<const TrenchPlan*> trenches;
    if (plan.outcomes.empty() || !plan.outcomes.front().works) {
        return trenches;
    }
    for (const auto& outcome : plan.outcomes.front().by_source) {
        if (const auto* trench = std::get_if<TrenchPlan>(&outcome)) {
            trenches.push_back(trench);
        }
    }
    return trenches;
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
        append(core, trench->route.line);
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

void draw_plan_view(Canvas& canvas, const JobPlan& plan, const PageBox& frame, const DrawScale& scale, Legend& legend)
{
    const Box part = shown_part(plan);
    const Point centre{(part.min_x_m + part.max_x_m) / 2, (part.min_y_m + part.max_y_m) / 2};
    PlanView view{.canvas = canvas,
                  .plan = plan,
                  .trenches = shown_trenches(plan),
                  .frame = frame,
                  .scale = scale,
                  .transform = {scale.metres_per_pt, centre, frame.centre()},
                  .labels = LabelPlacer(grown(frame, -2)),
                  .legend = legend};
    canvas.clip(frame);
    draw_areas(view);
    draw_ground(view);
    draw_buildings(view);
    draw_marks(view);
    draw_trenches(view);
    draw_ends(view);
    draw_north(view);
    draw_scale_bar(view);
    label_marks(view);
    label_ends(view);
    label_trenches(view);
    label_areas(view);
    label_stations(view);
    label_ground(view);
    canvas.unclip();
    canvas.outline(corners(frame), {.ink = palette::soft_ink, .width_pt = 0.7});
}

} // namespace trenchwright
