#include "trenchwright/draw/corner_sketch.hpp"
#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Unit vector on the page: where the plan itself puts what lies north.
PagePoint north_on_page(const PlanTransform& transform)
{
    const auto& from = transform.center;
    const auto foot = transform.to_page(from);
    const auto head = transform.to_page({from.x_m, from.y_m + transform.meters_per_pt});
    return {head.x_pt - foot.x_pt, head.y_pt - foot.y_pt};
}

/// The arrow points where the site's north lies on the sheet.
void draw_arrow(PlanView& view, const PageBox& strip)
{
    const bool tape = view.plan.site.frame.wkt.empty();
    const double r = strip.height_pt() / 2 - 0.5;
    const PagePoint at{strip.right_pt - r - 4, strip.center().y_pt};
    const auto up = north_on_page(view.transform);
    const auto point = [&](double ahead, double aside) {
        return PagePoint{at.x_pt + up.x_pt * ahead - up.y_pt * aside, at.y_pt + up.y_pt * ahead + up.x_pt * aside};
    };
    view.canvas.line({point(-r, 0), point(r - 1, 0)}, {.ink = palette::ink, .width_pt = 1.1});
    view.canvas.fill(PageRings{{point(r, 0), point(r - 9, 3.6), point(r - 6.5, 0), point(r - 9, -3.6)}}, palette::ink);
    const std::string text = tape ? "tape's axis" : "grid north";
    const TextStyle style{.size_pt = 6.6, .bold = true};
    const auto size = view.canvas.text_size(text, style);
    view.canvas.text({at.x_pt - r - 4 - size.width_pt, at.y_pt - size.height_pt / 2}, text, style);
    view.canvas.shows(SheetThing::north_arrow);
}

PagePoint place_on(const PlanView& view, const TrenchPlan& trench, double station_m)
{
    return along(to_page(view, trench.line.route.line), view.transform.length_pt(station_m)).at;
}

/// Must be bared by hand before the grade is fixed.
void draw_potholes(PlanView& view)
{
    for (const auto* trench : view.trenches) {
        for (const auto& crossing : trench->measured.crossings) {
            if (!crossing.facility_top_elev_m) {
                const auto at = view.transform.to_page(crossing.at);
                draw_pothole(view.canvas, at);
                view.labels.block(box_about(at, {13, 13}));
                view.legend.add({.kind = LegendKind::pothole, .text = "pothole first: depth unknown"});
            }
        }
    }
}

void draw_junctions(PlanView& view)
{
    for (const auto* trench : view.trenches) {
        if (trench->joins) {
            const auto at = view.transform.to_page(trench->joins->at);
            draw_junction(view.canvas, at);
            view.labels.block(box_about(at, {8, 8}));
            view.legend.add({.kind = LegendKind::junction, .text = "wye"});
        }
    }
}

} // namespace

void draw_sheet_strip(PlanView& view, const PageBox& strip)
{
    const double right = draw_scale_bar(view, strip, 130).figures_pt;
    view.canvas.shows(SheetThing::scale_bar);
    const TextStyle style{.size_pt = 7.2, .bold = true};
    const auto text = fmt::format("Plan {} at full size", view.scale.text);
    view.canvas.text({right + 16, strip.center().y_pt - 4.5}, text, style);
    draw_arrow(view, strip);
}

void label_fittings(PlanView& view)
{
    const auto units = view.plan.job.rules.units;
    const TextStyle style{.size_pt = 5.8, .masked = true};
    for (std::size_t i = 0; i < view.trenches.size(); ++i) {
        const auto& trench = *view.trenches[i];
        for (const auto& cleanout : trench.laid.cleanouts) {
            label(view, {.at = place_on(view, trench, cleanout.station_m), .size = {}, .gap_pt = 5, .reach_pt = 40},
                  "CO " + station_text(cleanout.station_m, units), style);
        }
        if (trench.joins) {
            label(view, {.at = view.transform.to_page(trench.joins->at), .size = {}, .gap_pt = 5, .reach_pt = 50},
                  fmt::format("0+00 of {}\nat {}", i + 1, station_text(trench.joins->station_m, units)), style);
        }
    }
}

PlanWindow plan_window(const PlanTiles& tiles, std::size_t tile, const PageBox& box)
{
    auto frame = box;
    frame.bottom_pt -= plan_strip_pt;
    return {frame,
            {tiles.scale.meters_per_pt, tiles.tiles[tile].center, frame.center(), tiles.right_x_ratio,
             tiles.right_y_ratio}};
}

PlanOnPaper plan_on_paper(const PlanWindow& window, std::size_t page, const PageSize& paper)
{
    const auto& [frame, transform] = window;
    return {.page = page,
            .left_pt = frame.left_pt,
            .lower_pt = paper.height_pt - frame.bottom_pt,
            .right_pt = frame.right_pt,
            .upper_pt = paper.height_pt - frame.top_pt,
            .corners = {transform.to_site({frame.left_pt, frame.bottom_pt}),
                        transform.to_site({frame.left_pt, frame.top_pt}),
                        transform.to_site({frame.right_pt, frame.top_pt}),
                        transform.to_site({frame.right_pt, frame.bottom_pt})}};
}

std::vector<LotLineRow> draw_sheet_plan(Canvas& canvas, const SheetSet& set, const PlanTiles& tiles, std::size_t tile,
                                        const PageBox& box, Legend& legend)
{
    const auto [frame, transform] = plan_window(tiles, tile, box);
    const auto* drawn = set.outcome != nullptr ? set.outcome : set.refused;
    const auto only = drawn == nullptr ? std::nullopt : std::optional(drawn->outlet);
    PlanView view{.canvas = canvas,
                  .plan = set.plan,
                  .trenches = set.trenches,
                  .frame = frame,
                  .scale = tiles.scale,
                  .transform = transform,
                  .labels = LabelPlacer(grown(frame, -2)),
                  .legend = legend,
                  .only_outlet = only};
    canvas.clip(frame);
    draw_areas(view);
    draw_ground(view);
    draw_buildings(view);
    draw_footing_drain(view);
    draw_marks(view);
    if (set.record()) {
        draw_laid_lines(view, set);
    } else {
        draw_trenches(view);
        draw_potholes(view);
    }
    draw_cleanouts(view);
    draw_junctions(view);
    draw_ends(view);
    draw_refusals(view);
    draw_match_lines(view, tiles, tile);
    label_marks(view);
    const auto rows = label_lot_lines(view);
    label_ends(view);
    label_refusals(view);
    label_corners(view);
    label_trenches(view);
    label_faults(view, set);
    label_fittings(view);
    label_areas(view);
    label_stations(view);
    label_ground(view);
    canvas.unclip();
    canvas.outline(corners(frame), {.ink = palette::soft_ink, .width_pt = 0.7});
    draw_sheet_strip(view, {box.left_pt, frame.bottom_pt + 2, box.right_pt, box.bottom_pt});
    return rows;
}

} // namespace trenchwright
