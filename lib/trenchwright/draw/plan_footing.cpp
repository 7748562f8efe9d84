#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/ink.hpp"

namespace trenchwright {

namespace {

/// The source's symbol would cover a cleanout at the upper end: it is shown just below.
PagePoint cleanout_place(const PlanView& view, const TrenchPlan& trench, const Cleanout& cleanout)
{
    constexpr double beside_pt = 2.2 * symbol_radius_pt;
    const auto line = to_page(view, trench.line.route.line);
    const double at_pt = view.transform.length_pt(cleanout.station_m);
    const bool moved = cleanout.reason == CleanoutReason::upper_end && at_pt > 2 * beside_pt;
    return along(line, moved ? at_pt - beside_pt : at_pt).at;
}

} // namespace

void draw_footing_drain(PlanView& view)
{
    for (const auto& drain : view.plan.site.footing_drains) {
        const auto line = to_page(view, drain.line);
        view.canvas.line(line, footing_stroke());
        view.labels.avoid(line);
        view.legend.add({.kind = LegendKind::footing_drain, .text = "footing drain, inside"});
    }
    if (view.plan.footing) {
        for (const auto& pit : view.plan.footing->pits) {
            const auto at = view.transform.to_page(pit.at);
            draw_pit(view.canvas, at);
            view.labels.block(box_about(at, {8, 8}));
            view.legend.add({.kind = LegendKind::pit, .text = "sump pit (assumed)"});
        }
    }
}

void draw_cleanouts(PlanView& view)
{
    for (const auto* trench : view.trenches) {
        for (const auto& cleanout : trench->laid.cleanouts) {
            const auto at = cleanout_place(view, *trench, cleanout);
            draw_cleanout(view.canvas, at);
            view.labels.block(box_about(at, {7, 7}));
            view.legend.add({.kind = LegendKind::cleanout, .text = "cleanout"});
        }
    }
}

} // namespace trenchwright
