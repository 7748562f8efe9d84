#include "trenchwright/draw/corner_sketch.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

constexpr double rim_pt = 11;

PlanTransform fitted(const JobPlan& plan, const std::vector<const TrenchPlan*>& trenches, const PageBox& box)
{
    std::vector<Point> all;
    for (const auto& house : plan.site.foundations) {
        all.insert(all.end(), house.outer.begin(), house.outer.end());
    }
    for (const auto* trench : trenches) {
        all.insert(all.end(), trench->line.route.line.begin(), trench->line.route.line.end());
    }
    const auto part = bounds(all);
    const double scale = std::max((part.max_x_m - part.min_x_m) / (box.width_pt() - 2 * rim_pt),
                                  (part.max_y_m - part.min_y_m) / (box.height_pt() - 2 * rim_pt));
    return {.meters_per_pt = std::max(scale, 1e-3),
            .center = {(part.min_x_m + part.max_x_m) / 2, (part.min_y_m + part.max_y_m) / 2},
            .page_center = box.center()};
}

PageLine on_page(const PlanTransform& transform, const Polyline& line)
{
    PageLine points;
    std::ranges::transform(line, std::back_inserter(points), [&](const Point& p) { return transform.to_page(p); });
    return points;
}

void place(Canvas& canvas, LabelPlacer& labels, const PagePoint& at, const std::string& text, const TextStyle& style)
{
    const auto size = canvas.text_size(text, style);
    if (const auto placed = labels.place({.at = at, .size = size, .gap_pt = 2, .reach_pt = 22})) {
        canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
    }
}

} // namespace

void draw_corner_sketch(Canvas& canvas, const JobPlan& plan, const OutletOutcome& outcome, const PageBox& box)
{
    const auto trenches = trenches_of(&outcome);
    const auto transform = fitted(plan, trenches, box);
    LabelPlacer labels(box);
    for (const auto& house : plan.site.foundations) {
        const auto ring = on_page(transform, house.outer);
        canvas.fill(PageRings{ring}, palette::building);
        canvas.outline(ring, {.ink = palette::ink, .width_pt = 1.1});
        labels.block(on_page(transform, closed(house.outer)));
    }
    for (const auto* trench : trenches) {
        const auto line = on_page(transform, trench->line.route.line);
        canvas.line(line, {.ink = palette::trench, .width_pt = 1.6});
        labels.block(line);
    }
    for (const auto& corner : tape_corners(plan.site.foundations, plan.job.rules.ties)) {
        place(canvas, labels, transform.to_page(corner.at), corner.name, {.size_pt = 9, .bold = true});
    }
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        const auto line = on_page(transform, trenches[i]->line.route.line);
        place(canvas, labels, along(line, length_pt(line) / 2).at, std::to_string(i + 1),
              {.size_pt = 8, .ink = palette::heading});
    }
    canvas.outline(corners(box), {.ink = palette::rule, .width_pt = 0.6});
}

void label_corners(PlanView& view)
{
    for (const auto& corner : tape_corners(view.plan.site.foundations, view.plan.job.rules.ties)) {
        const auto at = view.transform.to_page(corner.at);
        if (inside(view.frame, at)) {
            label(view, {.at = at, .size = {}, .gap_pt = 1.5, .reach_pt = 24}, corner.name,
                  {.size_pt = 7.5, .bold = true, .ink = palette::heading, .masked = true});
        }
    }
}

} // namespace trenchwright
