#include "trenchwright/route/lot_edges.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

namespace trenchwright {

namespace {

/// The stretches of a straight edge along or inside any of the areas.
std::vector<Interval> shared_spans(const Polyline& edge, const std::vector<Polygon>& areas, double snap_m)
{
    std::vector<Interval> shared;
    for (const auto& area : areas) {
        const auto inside = spans_inside(edge, area);
        const auto along = strip_spans_within(edge, 0, closed(area.outer), snap_m);
        shared.insert(shared.end(), inside.begin(), inside.end());
        shared.insert(shared.end(), along.begin(), along.end());
    }
    return merged(std::move(shared));
}

/// Parts of the outer rings, by whether they are shared with the other areas.
std::vector<Polyline> edges_that(bool are_shared, const std::vector<Polygon>& areas, const std::vector<Polygon>& others,
                                 double snap_m)
{
    std::vector<Polyline> result;
    for (const auto& area : areas) {
        const Polyline ring = closed(area.outer);
        for (std::size_t i = 1; i < ring.size(); ++i) {
            const Polyline edge{ring[i - 1], ring[i]};
            const auto shared = shared_spans(edge, others, snap_m);
            for (const auto& span : are_shared ? shared : minus({{0, length_m(edge)}}, shared)) {
                if (!are_shared || span.to_m - span.from_m > snap_m) { // a corner near the strip is not along it
                    result.push_back({point_at(edge, span.from_m), point_at(edge, span.to_m)});
                }
            }
        }
    }
    return result;
}

} // namespace

std::vector<Polyline> free_edges(const std::vector<Polygon>& areas, const std::vector<Polygon>& others, double snap_m)
{
    return edges_that(false, areas, others, snap_m);
}

std::vector<Polyline> shared_edges(const std::vector<Polygon>& areas, const std::vector<Polygon>& others, double snap_m)
{
    return edges_that(true, areas, others, snap_m);
}

std::vector<Polyline> lot_line(const Site& site, double snap_m)
{
    return edges_that(false, site.parcel, site.right_of_way, snap_m);
}

std::vector<Polyline> street_line(const Site& site, double snap_m)
{
    return edges_that(true, site.parcel, site.right_of_way, snap_m);
}

} // namespace trenchwright
