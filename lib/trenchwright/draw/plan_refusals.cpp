#include "trenchwright/base/missing_text.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace trenchwright {

namespace {

/// What one refusal lacks, in a word and a figure; empty where it has no figure.
std::string lacks_text(const Refusal& refusal, UnitSystem units)
{
    const auto by = refusal.short_by_m ? missing_text(*refusal.short_by_m, units) : std::string();
    switch (refusal.kind) {
    case RefusalKind::falls_short: return "fall short by " + by;
    case RefusalKind::too_deep: return "too deep by " + by;
    case RefusalKind::clearance: return "gap short by " + by;
    case RefusalKind::setback: return "setback short by " + by;
    case RefusalKind::pipe_too_large: return "pipe too large by " + by;
    case RefusalKind::blocked: return "way closed";
    case RefusalKind::unlawful_place: return "no water may be led here";
    case RefusalKind::no_ground: return "no ground known here";
    case RefusalKind::not_permitted:
    case RefusalKind::search_budget: break;
    }
    return {};
}

/// A place where an outlet is refused, with all the sources that it is refused for there.
struct RefusedPlace {
    Point at;
    std::string text;
};

/// One for each refusal; those that lack the same near one place are one.
std::vector<RefusedPlace> refused_places(const JobPlan& plan, const OutletOutcome& outcome)
{
    constexpr double one_place_m = 0.6;
    std::vector<std::pair<RefusedPlace, std::string>> places; // with what each lacks
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        const auto* refusal = std::get_if<Refusal>(&outcome.by_source[i]);
        const auto lacks = refusal != nullptr ? lacks_text(*refusal, plan.job.rules.units) : "";
        if (lacks.empty() || !refusal->at) {
            continue;
        }
        const auto known = std::ranges::find_if(places, [&](const auto& one) {
            return one.second == lacks && distance_m(one.first.at, *refusal->at) < one_place_m;
        });
        const auto& id = plan.site.sources[i].id;
        if (known == places.end()) {
            places.push_back({{.at = *refusal->at, .text = id}, lacks});
        } else {
            known->first.text += ", " + id;
        }
    }
    std::vector<RefusedPlace> all;
    for (auto& [place, lacks] : places) {
        all.push_back({.at = place.at, .text = place.text + ":\n" + lacks});
    }
    return all;
}

/// The outlets whose refusals the view shows.
std::vector<const OutletOutcome*> shown_refusals(const PlanView& view)
{
    std::vector<const OutletOutcome*> shown;
    for (const auto& outcome : view.plan.outcomes) {
        if (!outcome.works && (!view.only_outlet || *view.only_outlet == outcome.outlet)) {
            shown.push_back(&outcome);
        }
    }
    return shown;
}

void draw_closing(PlanView& view, const ClosingObject& object)
{
    const Stroke stroke{.ink = palette::stop, .width_pt = 1.6};
    if (const auto* area = std::get_if<Polygon>(&object.shape)) {
        view.canvas.outline(to_page(view, *area).front(), stroke);
    } else if (const auto* line = std::get_if<Polyline>(&object.shape)) {
        view.canvas.line(to_page(view, *line), stroke);
    } else {
        view.canvas.circle(view.transform.to_page(std::get<Point>(object.shape)), 7, stroke);
    }
    view.legend.add({.kind = LegendKind::closing, .text = "closes the way to an outlet"});
}

/// The line that comes nearest to working, of the outlet that is drawn.
void draw_nearest(PlanView& view, const OutletOutcome& outcome)
{
    for (const auto& help : outcome.help) {
        if (!help.nearest_line.empty()) {
            view.canvas.line(to_page(view, help.nearest_line), nearest_stroke());
            view.labels.block(to_page(view, help.nearest_line));
            view.legend.add({.kind = LegendKind::nearest_line, .text = "line that comes nearest; not to be dug"});
        }
    }
}

} // namespace

void draw_refusals(PlanView& view)
{
    const auto* drawn = drawn_refusal(view.plan);
    for (const auto* outcome : shown_refusals(view)) {
        for (const auto& help : outcome->help) {
            for (const auto& object : help.closed_by) {
                draw_closing(view, object);
            }
        }
        if (outcome == drawn) {
            draw_nearest(view, *outcome);
        }
    }
    for (const auto* outcome : shown_refusals(view)) {
        for (const auto& place : refused_places(view.plan, *outcome)) {
            const auto at = view.transform.to_page(place.at);
            if (inside(view.frame, at)) {
                draw_refused_place(view.canvas, at);
                view.labels.block(box_about(at, {9, 9}));
                view.legend.add({.kind = LegendKind::refused_place, .text = "where an outlet is refused"});
            }
        }
    }
}

void label_refusals(PlanView& view)
{
    for (const auto* outcome : shown_refusals(view)) {
        for (const auto& place : refused_places(view.plan, *outcome)) {
            const auto at = view.transform.to_page(place.at);
            if (inside(view.frame, at)) {
                label(view, {.at = at, .size = {}, .gap_pt = 6, .reach_pt = 110}, place.text,
                      {.size_pt = 6.2, .bold = true, .ink = palette::stop, .masked = true});
            }
        }
        std::set<std::string> named;
        for (const auto& help : outcome->help) {
            for (const auto& object : help.closed_by) {
                const auto at = view.transform.to_page(object.at);
                if (inside(view.frame, at) && named.insert(object.name).second) {
                    label(view, {.at = at, .size = {}, .gap_pt = 6, .reach_pt = 90},
                          "closed by " + display_name(object.name),
                          {.size_pt = 6.2, .ink = palette::stop, .masked = true});
                }
            }
        }
    }
}

} // namespace trenchwright
