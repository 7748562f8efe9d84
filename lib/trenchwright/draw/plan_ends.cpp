#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

const OutletOutcome* outcome_of(const JobPlan& plan, std::size_t outlet)
{
    const auto found = std::find_if(plan.outcomes.begin(), plan.outcomes.end(),
                                    [&](const OutletOutcome& outcome) { return outcome.outlet == outlet; });
    return found == plan.outcomes.end() ? nullptr : &*found;
}

/// Where the symbol stands: the end of a trench planned to it, else the middle of what the frame shows of it.
PagePoint symbol_place(const PlanView& view, std::size_t index)
{
    const auto* outcome = outcome_of(view.plan, index);
    for (std::size_t i = 0; outcome != nullptr && i < outcome->by_source.size(); ++i) {
        const auto* trench = std::get_if<TrenchPlan>(&outcome->by_source[i]);
        if (trench != nullptr && !trench->joins) {
            return view.transform.to_page(trench->line.route.end.at);
        }
    }
    const auto& place = view.plan.site.outlets[index].place;
    if (const auto* point = std::get_if<Point>(&place)) {
        return view.transform.to_page(*point);
    }
    if (const auto* line = std::get_if<Polyline>(&place)) {
        const auto pieces = clipped(to_page(view, *line), view.frame);
        const auto shown = pieces.empty() ? to_page(view, *line) : pieces.front();
        return along(shown, length_pt(shown) / 2).at;
    }
    const Box box = bounds(std::get<Polygon>(place).outer);
    return view.transform.to_page({(box.min_x_m + box.max_x_m) / 2, (box.min_y_m + box.max_y_m) / 2});
}

void draw_place(PlanView& view, const Outlet& outlet, bool refused)
{
    const Ink ink = refused ? palette::refused : palette::heading;
    const Stroke stroke{.ink = ink, .width_pt = 1.0, .dashes_pt = {2.5, 2}};
    if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
        view.canvas.line(to_page(view, *line), stroke);
    } else if (const auto* area = std::get_if<Polygon>(&outlet.place)) {
        const auto rings = to_page(view, *area);
        view.canvas.fill(rings, {.rgb = ink.rgb, .opacity_ratio = 0.08});
        view.canvas.outline(rings.front(), stroke);
    }
}

bool is_refused(const JobPlan& plan, std::size_t outlet)
{
    const auto* outcome = outcome_of(plan, outlet);
    return outcome != nullptr && !outcome->works;
}

bool is_shown(const PlanView& view, std::size_t outlet)
{
    return !view.only_outlet || *view.only_outlet == outlet;
}

std::string outlet_text(const PlanView& view, std::size_t index)
{
    const auto& plan = view.plan;
    const auto& outlet = plan.site.outlets[index];
    const auto& name = outlet.name.empty() ? outlet.id : outlet.name;
    const auto kind = outlet_kind_words(outlet.kind);
    const auto* outcome = outcome_of(plan, index);
    const auto state = outcome == nullptr ? OutletState::works : state_of(*outcome);
    const bool best = !plan.outcomes.empty() && &plan.outcomes.front() == outcome && state == OutletState::works;
    if (view.only_outlet) {
        return fmt::format("{}\n{} outlet", name, kind);
    }
    const std::string standing = state == OutletState::refused ? ", not workable"
                                 : state == OutletState::stop  ? ", STOP"
                                 : best                        ? ", first choice"
                                                               : "";
    const bool shown = outcome != nullptr && outcome == drawn_outlet(plan);
    return fmt::format("{}\n{} outlet{}{}", name, kind, standing, shown && !best ? ", shown" : "");
}

std::string source_text(const Site& site, const Source& source)
{
    const auto* kind = source.kind == SourceKind::pump ? "pump" : "downspout";
    return source.id.empty() ? kind : fmt::format("{}\n{}, {}", source.id, kind, waters_text(site, source));
}

} // namespace

void draw_ends(PlanView& view)
{
    const auto& outlets = view.plan.site.outlets;
    for (std::size_t i = 0; i < outlets.size(); ++i) {
        if (!is_shown(view, i)) {
            continue;
        }
        const bool refused = is_refused(view.plan, i);
        draw_place(view, outlets[i], refused);
        const auto at = symbol_place(view, i);
        draw_outlet(view.canvas, at, outlets[i].kind, refused);
        note_shown(view, SheetThing::outlet, i, view.transform.to_site(at));
        view.labels.block(box_about(at, {2 * symbol_radius_pt + 2, 2 * symbol_radius_pt + 2}));
        view.legend.add(
            {.kind = refused ? LegendKind::outlet_refused : LegendKind::outlet,
             .text = fmt::format("{} outlet{}", outlet_kind_words(outlets[i].kind), refused ? ", not workable" : ""),
             .outlet = outlets[i].kind});
    }
    for (const auto* trench : view.trenches) { // each source may end at a place of its own
        if (trench->joins) {
            continue; // ends on another trench
        }
        const auto at = view.transform.to_page(trench->line.route.end.at);
        draw_outlet(view.canvas, at, outlets[trench->outlet].kind, false);
        view.labels.block(box_about(at, {2 * symbol_radius_pt + 2, 2 * symbol_radius_pt + 2}));
    }
    for (const auto& source : view.plan.site.sources) {
        const auto at = view.transform.to_page(source.at);
        if (!inside(grown(view.frame, symbol_radius_pt), at)) {
            continue;
        }
        draw_source(view.canvas, at, source.kind);
        view.labels.block(box_about(at, {9, 9}));
        view.legend.add({.kind = LegendKind::source,
                         .text = source.kind == SourceKind::pump ? "source: sump pump" : "source: downspout",
                         .source = source.kind});
    }
}

void label_ends(PlanView& view)
{
    for (std::size_t i = 0; i < view.plan.site.outlets.size(); ++i) {
        if (!is_shown(view, i)) {
            continue;
        }
        const bool refused = is_refused(view.plan, i);
        const TextStyle style{
            .size_pt = 6.4, .bold = !refused, .ink = refused ? palette::soft_ink : palette::heading, .masked = true};
        label(view, {.at = symbol_place(view, i), .size = {}, .gap_pt = 6, .reach_pt = 110}, outlet_text(view, i),
              style);
    }
    for (const auto& source : view.plan.site.sources) {
        label(view, {.at = view.transform.to_page(source.at), .size = {}, .gap_pt = 6, .reach_pt = 80},
              source_text(view.plan.site, source), {.size_pt = 6.2, .bold = true, .masked = true});
    }
}

} // namespace trenchwright
