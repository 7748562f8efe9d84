#include "trenchwright/route/cover.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::vector<Interval> within_of_place(const Polyline& line, const Outlet& outlet, double reach_m)
{
    if (const auto* p = std::get_if<Point>(&outlet.place)) {
        return strip_spans_within(line, 0, *p, reach_m);
    }
    if (const auto* other = std::get_if<Polyline>(&outlet.place)) {
        return strip_spans_within(line, 0, *other, reach_m);
    }
    const auto& area = std::get<Polygon>(outlet.place);
    auto spans = strip_spans_within(line, 0, closed(area.outer), reach_m);
    const auto inside = spans_inside(line, area);
    spans.insert(spans.end(), inside.begin(), inside.end());
    return merged(std::move(spans));
}

/// A stretch of line under one kind of surface.
struct Piece {
    Interval span;
    const SurfaceRule* surface = nullptr;
    CoverZone zone = CoverZone::away;
};

/// Puts what lies inside the spans into a zone, splitting where they begin and end.
void put_into(CoverZone zone, std::vector<Piece>& pieces, const std::vector<Interval>& spans)
{
    std::vector<Piece> result;
    for (const auto& piece : pieces) {
        const auto outside = minus({piece.span}, spans);
        for (const auto& part : outside) {
            result.push_back({.span = part, .surface = piece.surface, .zone = piece.zone});
        }
        for (const auto& part : minus({piece.span}, outside)) {
            result.push_back({.span = part, .surface = piece.surface, .zone = zone});
        }
    }
    std::ranges::sort(result, {}, [](const Piece& piece) { return piece.span.from_m; });
    pieces = std::move(result);
}

const SurfaceRule& rule_of(const std::string& kind, const RouteRules& rules)
{
    static const SurfaceRule none;
    const auto found = rules.surfaces.find(kind);
    return found == rules.surfaces.end() ? none : found->second;
}

double below_slab_m(const SurfaceRule& surface, const RouteRules& rules)
{
    return surface.slab_m > 0 ? surface.slab_m + rules.slab_gap_m : 0;
}

} // namespace

double curb_pipe_saves_m(const RouteRules& rules)
{
    const auto& own = rules.section;
    const auto& small = rules.curb_pipe;
    return small ? own.outside_diameter_m - own.wall_m - (small->outside_diameter_m - small->wall_m) : 0;
}

double reduced_length_m(const Polyline& line, const Outlet& outlet, const RouteRules& rules)
{
    const auto spans = within_of_place(line, outlet, rules.reducer_length_m);
    return spans.empty() ? 0 : std::ranges::max(spans, {}, &Interval::to_m).to_m;
}

bool paved(const SurfaceRule& surface)
{
    return surface.slab_m > 0 || surface.carries_vehicles;
}

double min_cover_m(const SurfaceRule& surface, CoverZone zone, const RouteRules& rules)
{
    if (zone == CoverZone::daylight && !paved(surface)) {
        return -rules.section.outside_diameter_m;
    }
    const double own = std::max(surface.min_cover_m, below_slab_m(surface, rules));
    const double eased = std::min(own, rules.outlet_cover_m);
    if (zone == CoverZone::in_curb) {
        return eased;
    }
    const bool holds = zone == CoverZone::away || surface.carries_vehicles;
    return holds ? own : std::max(eased, below_slab_m(surface, rules));
}

namespace {

/// Where the smaller pipe lies, the cover of the drain's own section may be less by what the smaller one saves.
std::vector<std::pair<Interval, double>> with_curb_pipe(const std::vector<std::pair<Interval, double>>& covers,
                                                        const Polyline& line, const Outlet& outlet,
                                                        const RouteRules& rules)
{
    const auto small = within_of_place(line, outlet, rules.reducer_length_m);
    std::vector<std::pair<Interval, double>> result;
    for (const auto& [span, cover_m] : covers) {
        const auto outside = minus({span}, small);
        for (const auto& part : outside) {
            result.emplace_back(part, cover_m);
        }
        for (const auto& part : minus({span}, outside)) {
            result.emplace_back(part, cover_m - curb_pipe_saves_m(rules));
        }
    }
    std::ranges::sort(result, {}, [](const auto& piece) { return piece.first.from_m; });
    return result;
}

} // namespace

std::vector<std::pair<Interval, double>> min_cover_along(const SurfaceSpans& surfaces, const Polyline& line,
                                                         const Outlet& outlet, const RouteRules& rules)
{
    std::vector<Piece> pieces;
    for (const auto& [span, kind] : surfaces) {
        pieces.push_back({.span = span, .surface = &rule_of(kind, rules)});
    }
    const auto put = [&](CoverZone zone, double reach_m) {
        put_into(zone, pieces, within_of_place(line, outlet, reach_m));
    };
    if (outlet.kind == OutletKind::curb) {
        put(CoverZone::near_outlet, rules.outlet_reach_m);
        put(CoverZone::in_curb, rules.boundary_snap_m);
    } else if (outlet.kind == OutletKind::swale) {
        put(CoverZone::near_outlet, rules.outlet_reach_m);
        put(CoverZone::daylight, rules.daylight_length_m);
    }
    std::vector<std::pair<Interval, double>> covers;
    for (const auto& [span, surface, zone] : pieces) {
        covers.emplace_back(span, min_cover_m(*surface, zone, rules));
    }
    return outlet.kind == OutletKind::curb && rules.curb_pipe ? with_curb_pipe(covers, line, outlet, rules) : covers;
}

CoverAt cover_at(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules)
{
    const Polyline dot{p, {.x_m = p.x_m + 1e-6, .y_m = p.y_m}};
    const auto surfaces = surfaces_along(site, dot, rules);
    return {.kind = surfaces.front().second, .cover_m = min_cover_along(surfaces, dot, outlet, rules).front().second};
}

std::string cover_words(const CoverAt& cover, const RouteRules& rules, UnitSystem units)
{
    const auto& surface = rule_of(cover.kind, rules);
    const bool by_slab = surface.slab_m > 0 && cover.cover_m <= below_slab_m(surface, rules);
    return fmt::format("{} of cover under {}{}", small_text(cover.cover_m, units), display_name(cover.kind),
                       by_slab ? fmt::format(" ({} slab, {} below it)", small_text(surface.slab_m, units),
                                             small_text(rules.slab_gap_m, units))
                               : "");
}

} // namespace trenchwright
