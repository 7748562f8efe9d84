#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <set>
#include <utility>

namespace trenchwright {

namespace {

void draw_lots(PlanView& view)
{
    const Stroke quiet{.ink = palette::faint_ink, .width_pt = 0.6, .dashes_pt = {10, 2, 2, 2, 2, 2}};
    for (const auto& lot : view.plan.site.neighbors) {
        const auto rings = to_page(view, lot);
        view.canvas.fill(rings, palette::outside);
        view.canvas.outline(rings.front(), quiet);
        view.legend.add({.kind = LegendKind::neighbor, .text = "neighboring lot"});
    }
    const auto& streets = view.plan.site.right_of_way;
    for (std::size_t i = 0; i < streets.size(); ++i) {
        const auto rings = to_page(view, streets[i]);
        note_shown(view, SheetThing::right_of_way, i, streets[i]);
        view.canvas.fill(rings, palette::street);
        view.canvas.outline(rings.front(), {.ink = palette::faint_ink, .width_pt = 0.6});
        view.legend.add({.kind = LegendKind::right_of_way, .text = "right-of-way (public strip)"});
    }
}

std::size_t surface_index(const Site& site, const std::string& kind)
{
    std::set<std::string> kinds;
    for (const auto& patch : site.surfaces) {
        kinds.insert(patch.kind);
    }
    return static_cast<std::size_t>(std::distance(kinds.begin(), kinds.find(kind)));
}

void draw_surfaces(PlanView& view)
{
    const auto& surfaces = view.plan.site.surfaces;
    for (std::size_t i = 0; i < surfaces.size(); ++i) {
        const auto& patch = surfaces[i];
        const auto nth = surface_index(view.plan.site, patch.kind);
        note_shown(view, SheetThing::surface, i, patch.area);
        draw_surface(view.canvas, to_page(view, patch.area), nth);
        view.legend.add({.kind = LegendKind::surface, .text = display_name(patch.kind), .nth = nth});
    }
}

/// Center of the part of an area that the frame shows; nothing when that part is too small for a text.
std::optional<PageBox> shown_box(const PlanView& view, const Polygon& area)
{
    const Box box = bounds(area.outer);
    const auto low = view.transform.to_page({box.min_x_m, box.max_y_m});
    const auto high = view.transform.to_page({box.max_x_m, box.min_y_m});
    const PageBox shown{std::max(low.x_pt, view.frame.left_pt), std::max(low.y_pt, view.frame.top_pt),
                        std::min(high.x_pt, view.frame.right_pt), std::min(high.y_pt, view.frame.bottom_pt)};
    const bool room = shown.width_pt() > 6 && shown.height_pt() > 6;
    return room ? std::optional(shown) : std::nullopt;
}

/// Places for an area's name, best first: the middle of what is shown of it; where that lies in a hole or a bight, the
/// middles of its stretches on some level lines, the longest first.
std::vector<PagePoint> name_places(const PlanView& view, const Polygon& area, const PageBox& shown)
{
    if (contains(area, view.transform.to_site(shown.center()))) {
        return {shown.center()};
    }
    constexpr int lines = 9;
    std::vector<std::pair<double, PagePoint>> found;
    for (int i = 0; i < lines; ++i) {
        const double y_pt = shown.top_pt + (i + 0.5) / lines * shown.height_pt();
        const Polyline level{view.transform.to_site({shown.left_pt, y_pt}),
                             view.transform.to_site({shown.right_pt, y_pt})};
        for (const auto& span : spans_inside(level, area)) {
            found.emplace_back(span.to_m - span.from_m,
                               view.transform.to_page(point_at(level, (span.from_m + span.to_m) / 2)));
        }
    }
    std::ranges::stable_sort(found, std::greater{}, &std::pair<double, PagePoint>::first);
    std::vector<PagePoint> places;
    std::ranges::transform(found, std::back_inserter(places), &std::pair<double, PagePoint>::second);
    return places;
}

/// Names an area in its middle, upright where it is too narrow.
void name_area(PlanView& view, const Polygon& area, const std::string& text, TextStyle style, double reach_pt)
{
    const auto shown = shown_box(view, area);
    if (!shown) {
        return;
    }
    const auto size = view.canvas.text_size(text, style);
    style.sideways = size.width_pt > shown->width_pt() - 4 && size.width_pt < shown->height_pt() - 4;
    for (const auto& at : name_places(view, area, *shown)) {
        if (label(view, {.at = at, .size = {}, .gap_pt = 2, .reach_pt = reach_pt, .centerd = true}, text, style)) {
            return;
        }
    }
}

constexpr double well_pt = 3;

const Stroke& reserve_stroke()
{
    static const Stroke stroke{.ink = palette::soft_ink, .width_pt = 0.8, .dashes_pt = {5, 2, 1, 2}};
    return stroke;
}

/// Outline of what somebody else has a right to, or what a distance is kept from.
void draw_reserve(PlanView& view, const Reserve& reserve)
{
    if (const auto* at = std::get_if<Point>(&reserve.place)) {
        view.canvas.circle(view.transform.to_page(*at), well_pt, reserve_stroke());
    } else if (const auto* line = std::get_if<Polyline>(&reserve.place)) {
        view.canvas.line(to_page(view, *line), reserve_stroke());
    } else {
        view.canvas.outline(to_page(view, std::get<Polygon>(reserve.place).outer), reserve_stroke());
    }
}

void label_reserve(PlanView& view, const Reserve& reserve, const std::string& text)
{
    const TextStyle quiet{.size_pt = 6.2, .italic = true, .ink = palette::soft_ink, .masked = true};
    if (const auto* area = std::get_if<Polygon>(&reserve.place)) {
        name_area(view, *area, text, quiet, 60);
        return;
    }
    const auto* line = std::get_if<Polyline>(&reserve.place);
    const Point at = line != nullptr ? point_at(*line, length_m(*line) / 2) : std::get<Point>(reserve.place);
    label(view, {.at = view.transform.to_page(at), .size = {}, .gap_pt = well_pt + 2, .reach_pt = 30}, text, quiet);
}

/// Wells, septic parts and easements, each with its word.
template <class Each> void for_each_reserve(const Site& site, Each each)
{
    for (const auto& well : site.wells) {
        each(well, "well");
    }
    for (const auto& part : site.septic) {
        each(part, "septic");
    }
    for (const auto& easement : site.easements) {
        each(easement, "easement");
    }
}

void draw_neighbor_buildings(PlanView& view)
{
    const auto& houses = view.plan.site.neighbor_buildings;
    for (std::size_t i = 0; i < houses.size(); ++i) {
        const auto rings = to_page(view, houses[i]);
        view.canvas.fill(rings, palette::building);
        view.canvas.outline(rings.front(), {.ink = palette::soft_ink, .width_pt = 0.6});
        note_shown(view, SheetThing::neighbor_building, i, houses[i]);
        view.legend.add({.kind = LegendKind::neighbor_building, .text = "neighbor's building"});
    }
}

void draw_foundations(PlanView& view)
{
    const auto& houses = view.plan.site.foundations;
    for (std::size_t i = 0; i < houses.size(); ++i) {
        const auto rings = to_page(view, houses[i]);
        view.canvas.fill(rings, palette::building);
        view.canvas.outline(rings.front(), {.ink = palette::ink, .width_pt = 1.3});
        note_shown(view, SheetThing::foundation, i, houses[i]);
        view.labels.avoid(to_page(view, closed(houses[i].outer)));
        view.legend.add({.kind = LegendKind::foundation, .text = "foundation"});
    }
}

void draw_reserves(PlanView& view)
{
    for_each_reserve(view.plan.site, [&](const Reserve& reserve, const char*) { draw_reserve(view, reserve); });
    const auto& easements = view.plan.site.easements;
    for (std::size_t i = 0; i < easements.size(); ++i) {
        std::visit([&](const auto& place) { note_shown(view, SheetThing::easement, i, place); }, easements[i].place);
    }
}

} // namespace

void draw_areas(PlanView& view)
{
    draw_lots(view);
    draw_surfaces(view);
}

void draw_buildings(PlanView& view)
{
    for (const auto& area : view.plan.site.keep_outs) {
        draw_keep_out(view.canvas, to_page(view, area.area));
        view.legend.add({.kind = LegendKind::keep_out, .text = "keep-out, never entered"});
    }
    draw_neighbor_buildings(view);
    draw_foundations(view);
    draw_reserves(view);
    for (const auto& lot : view.plan.site.parcel) {
        view.canvas.outline(to_page(view, lot.outer), lot_line_stroke());
        view.labels.avoid(to_page(view, closed(lot.outer)));
        view.legend.add({.kind = LegendKind::lot_line, .text = "lot line"});
    }
}

void label_areas(PlanView& view)
{
    const TextStyle strong{.size_pt = 7, .bold = true, .ink = palette::soft_ink, .masked = true};
    const TextStyle quiet{.size_pt = 6.2, .italic = true, .ink = palette::soft_ink, .masked = true};
    for (const auto& house : view.plan.site.foundations) {
        name_area(view, house, "foundation", strong, 30);
    }
    for (const auto& area : view.plan.site.keep_outs) {
        name_area(view, area.area, area.reason.empty() ? "keep out" : "keep out: " + area.reason, quiet, 40);
    }
    for_each_reserve(view.plan.site, [&](const Reserve& reserve, const std::string& word) {
        label_reserve(view, reserve, word + " " + reserve.id);
    });
    for (const auto& patch : view.plan.site.surfaces) {
        name_area(view, patch.area, display_name(patch.kind), quiet, 16);
    }
    for (const auto& strip : view.plan.site.right_of_way) {
        name_area(view, strip, "right-of-way", quiet, 60);
    }
    for (const auto& lot : view.plan.site.neighbors) {
        name_area(view, lot, "neighboring lot", quiet, 40);
    }
}

} // namespace trenchwright
