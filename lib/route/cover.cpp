#include "geom/along.hpp"
#include "geom/measure.hpp"
#include "route/route.hpp"

#include <algorithm>

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

/// Lowers the cover to `cover_m` inside the spans, splitting where they begin and end.
void ease(std::vector<std::pair<Interval, double>>& covers, const std::vector<Interval>& spans, double cover_m)
{
    std::vector<std::pair<Interval, double>> result;
    for (const auto& [span, cover] : covers) {
        const auto outside = minus({span}, spans);
        for (const auto& part : outside) {
            result.emplace_back(part, cover);
        }
        for (const auto& part : minus({span}, outside)) {
            result.emplace_back(part, std::min(cover, cover_m));
        }
    }
    std::sort(result.begin(), result.end(),
              [](const auto& a, const auto& b) { return a.first.from_m < b.first.from_m; });
    covers = std::move(result);
}

} // namespace

std::vector<std::pair<Interval, double>> least_cover_along(const SurfaceSpans& surfaces, const Polyline& line,
                                                           const Outlet& outlet, const RouteRules& rules)
{
    std::vector<std::pair<Interval, double>> covers;
    for (const auto& [span, kind] : surfaces) {
        const auto rule = rules.surfaces.find(kind);
        covers.emplace_back(span, rule == rules.surfaces.end() ? 0 : rule->second.least_cover_m);
    }
    if (outlet.kind == OutletKind::curb || outlet.kind == OutletKind::swale) {
        ease(covers, within_of_place(line, outlet, rules.outlet_reach_m), rules.outlet_cover_m);
    }
    if (outlet.kind == OutletKind::swale) {
        ease(covers, within_of_place(line, outlet, rules.daylight_length_m), -rules.section.outside_diameter_m);
    }
    return covers;
}

} // namespace trenchwright
