#include "trenchwright/dig/beside.hpp"

#include "trenchwright/dig/cross_section.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/lot_edges.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Straight pieces of an outline or a line; a point is a piece without length.
std::vector<std::pair<Point, Point>> edges_of(const SiteObject& standing)
{
    std::vector<std::pair<Point, Point>> edges;
    const auto add = [&](const Polyline& line) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            edges.emplace_back(line[i - 1], line[i]);
        }
    };
    if (const auto* area = std::get_if<Polygon>(&standing.shape)) {
        add(closed(area->outer));
        std::ranges::for_each(area->holes, [&](const Ring& hole) { add(closed(hole)); });
    } else if (const auto* line = std::get_if<Polyline>(&standing.shape)) {
        add(*line);
    } else {
        edges.emplace_back(std::get<Point>(standing.shape), std::get<Point>(standing.shape));
    }
    return edges;
}

/// Stretches of a run whose axis lies inside the thing.
std::vector<Interval> axis_inside(const StraightRun& run, const SiteObject& standing)
{
    const auto* area = std::get_if<Polygon>(&standing.shape);
    if (area == nullptr) {
        return {};
    }
    auto spans = spans_inside({run.at(run.span.from_m), run.at(run.span.to_m)}, *area);
    for (auto& span : spans) {
        span = {span.from_m + run.span.from_m, span.to_m + run.span.from_m};
    }
    return spans;
}

/// A straight run of the line together with the cut along it.
struct CutOnLine {
    StraightRun run;
    CutRun cut;
};
std::vector<CutOnLine> on_line(const Polyline& line, const std::vector<CutRun>& cuts)
{
    std::vector<double> breaks;
    for (const auto& cut : cuts) {
        breaks.insert(breaks.end(), {cut.span.from_m, cut.span.to_m});
    }
    std::vector<CutOnLine> result;
    for (const auto& run : runs_of(line, breaks)) {
        const double middle = (run.span.from_m + run.span.to_m) / 2;
        for (const auto& cut : cuts) {
            if (middle > cut.span.from_m && middle < cut.span.to_m) {
                result.push_back({run, cut});
            }
        }
    }
    return result;
}

/// The piece of a straight edge beside a run: local x along the run, y to the side, cut to the run and to y >= 0.
struct SideEdge {
    Point a;
    Point b;
};
std::optional<SideEdge> beside(const StraightRun& run, const std::pair<Point, Point>& edge, bool left)
{
    Point a = run.local(edge.first);
    Point b = run.local(edge.second);
    if (!left) {
        a.y_m = -a.y_m;
        b.y_m = -b.y_m;
    }
    const double length = run.span.to_m - run.span.from_m;
    double from = 0;
    double to = 1;
    // Liang and Barsky: each limit is start + share * change >= 0.
    const auto keep = [&](double start, double change) {
        if (change == 0) {
            to = start < 0 ? -1 : to;
        } else if (change > 0) {
            from = std::max(from, -start / change);
        } else {
            to = std::min(to, -start / change);
        }
    };
    keep(a.x_m, b.x_m - a.x_m);
    keep(length - a.x_m, a.x_m - b.x_m);
    keep(a.y_m, b.y_m - a.y_m);
    if (from > to) {
        return std::nullopt;
    }
    const auto at = [&](double share) {
        return Point{.x_m = a.x_m + share * (b.x_m - a.x_m), .y_m = a.y_m + share * (b.y_m - a.y_m)};
    };
    SideEdge side{at(from), at(to)};
    if (side.a.x_m > side.b.x_m) {
        std::swap(side.a, side.b);
    }
    return side;
}

void add_taken(std::vector<ExceedingSpan>& spans, const CutOnLine& piece, const SideEdge& edge, const Heap& heap)
{
    const double base = piece.run.span.from_m;
    const auto end_at = [&](double station_m) { return heap_end_m(heap, piece.cut.at_m(station_m), piece.cut.sloped); };
    const double farthest = std::max(end_at(base), end_at(piece.run.span.to_m)); // grows with the cut
    if (std::min(edge.a.y_m, edge.b.y_m) >= farthest) {
        return;
    }
    const double run = edge.b.x_m - edge.a.x_m;
    if (run < over_rounding_m) {
        const double over = end_at(base + edge.a.x_m) - std::min(edge.a.y_m, edge.b.y_m);
        if (over > over_rounding_m) {
            const double station = base + edge.a.x_m;
            spans.push_back({.span = {station, station}, .max_m = over, .max_station_m = station});
        }
        return;
    }
    const auto over = exceeding_spans(base + edge.a.x_m, base + edge.b.x_m, [&](double station_m) {
        const double share = (station_m - base - edge.a.x_m) / run;
        return end_at(station_m) - edge.a.y_m - share * (edge.b.y_m - edge.a.y_m);
    });
    if (over) {
        spans.push_back(*over);
    }
}

/// A round thing: its near side is convex seen from the axis, so the heap's way past it is concave.
void add_taken_circle(std::vector<ExceedingSpan>& spans, const CutOnLine& piece, Point center, double radius_m,
                      const Heap& heap)
{
    const double length = piece.run.span.to_m - piece.run.span.from_m;
    const double from = std::max(0.0, center.x_m - radius_m);
    const double to = std::min(length, center.x_m + radius_m);
    if (from > to || center.y_m < -radius_m) {
        return;
    }
    const double base = piece.run.span.from_m;
    const auto over = exceeding_spans(base + from, base + to, [&](double station_m) {
        const double x = station_m - base - center.x_m;
        const double half_chord = std::sqrt(std::max(0.0, radius_m * radius_m - x * x));
        return heap_end_m(heap, piece.cut.at_m(station_m), piece.cut.sloped) - (center.y_m - half_chord);
    });
    if (over) {
        spans.push_back(*over);
    }
}

std::vector<ExceedingSpan> taken_by(const std::vector<CutOnLine>& pieces, const SiteObject& standing, const Heap& heap,
                                    bool left)
{
    std::vector<ExceedingSpan> spans;
    const auto edges = edges_of(standing);
    for (const auto& piece : pieces) {
        if (const auto* at = std::get_if<Point>(&standing.shape)) {
            Point local = piece.run.local(*at);
            local.y_m = left ? local.y_m : -local.y_m;
            add_taken_circle(spans, piece, local, standing.reach_m, heap);
            continue;
        }
        for (const auto& span : axis_inside(piece.run, standing)) {
            const double end = heap_end_m(heap, piece.cut.at_m(span.from_m), piece.cut.sloped);
            spans.push_back({.span = span, .max_m = end, .max_station_m = span.from_m});
        }
        for (const auto& edge : edges) {
            if (const auto side = beside(piece.run, edge, left)) {
                add_taken(spans, piece, *side, heap);
            }
        }
    }
    return joined(std::move(spans));
}

SpoilSide side_of(const std::vector<CutOnLine>& pieces, const std::vector<SiteObject>& all, const Heap& heap, bool left)
{
    SpoilSide side;
    std::vector<Interval> taken;
    for (const auto& standing : all) {
        if (!bars_spoil(standing.kind)) {
            continue;
        }
        for (const auto& over : taken_by(pieces, standing, heap, left)) {
            side.taken.push_back({.kind = standing.kind, .name = standing.name, .over = over});
            taken.push_back(over.span);
        }
    }
    std::ranges::stable_sort(side.taken, [](const Encroachment& a, const Encroachment& b) {
        return a.over.span.from_m < b.over.span.from_m;
    });
    side.taken_m = total_m(merged(std::move(taken)));
    return side;
}

} // namespace

std::string_view site_object_kind_word(SiteObjectKind kind)
{
    switch (kind) {
    case SiteObjectKind::foundation: return "foundation";
    case SiteObjectKind::neighbor: return "neighbor";
    case SiteObjectKind::lot_line: return "lot_line";
    case SiteObjectKind::keep_out: return "keep_out";
    case SiteObjectKind::tree: return "tree";
    case SiteObjectKind::surface: return "surface";
    case SiteObjectKind::hand_dig_zone: return "hand_dig_zone";
    }
    return "";
}

bool bars_slopes(SiteObjectKind kind)
{
    return kind != SiteObjectKind::surface && kind != SiteObjectKind::hand_dig_zone;
}

bool bars_spoil(SiteObjectKind kind)
{
    return kind != SiteObjectKind::hand_dig_zone;
}

std::vector<SiteObject> objects_beside(const Site& site, const RouteRules& rules,
                                       const std::vector<std::string>& surfaces)
{
    std::vector<SiteObject> all;
    const auto add = [&](SiteObjectKind kind, const std::string& name, auto shape, double reach_m = 0) {
        all.push_back({.kind = kind, .name = name, .shape = std::move(shape), .reach_m = reach_m});
    };
    std::ranges::for_each(site.foundations,
                          [&](const Polygon& area) { add(SiteObjectKind::foundation, "foundation", area); });
    std::ranges::for_each(site.neighbors,
                          [&](const Polygon& area) { add(SiteObjectKind::neighbor, "neighbor's lot", area); });
    for (auto& edge : lot_line(site, rules.boundary_snap_m)) {
        add(SiteObjectKind::lot_line, "lot line", std::move(edge));
    }
    for (const auto& keep_out : site.keep_outs) {
        add(SiteObjectKind::keep_out, fmt::format("keep-out {} ({})", keep_out.id, keep_out.reason), keep_out.area);
    }
    for (const auto& patch : site.surfaces) {
        if (std::ranges::find(surfaces, patch.kind) != surfaces.end()) {
            add(SiteObjectKind::surface, patch.kind, patch.area);
        }
    }
    for (const auto& tree : site.trees) {
        add(SiteObjectKind::tree, fmt::format("inner root circle of tree {}", tree.id), tree.at,
            rules.tree_keep_out_factor * tree.trunk_diameter_m);
    }
    for (const auto& mark : site.marks) {
        add(SiteObjectKind::hand_dig_zone, "hand-dig zone of " + mark_name(mark), mark.line,
            hand_dig_reach_m(mark, rules));
    }
    return all;
}

std::vector<Encroachment> reached_by_opening(const Polyline& line, const std::vector<CutRun>& cuts,
                                             const std::vector<SiteObject>& all, double width_m,
                                             double side_slope_ratio)
{
    std::vector<Encroachment> reached;
    const auto pieces = on_line(line, cuts);
    for (const auto& standing : all) {
        std::vector<ExceedingSpan> spans;
        const auto edges = edges_of(standing);
        for (const auto& [run, cut] : pieces) {
            const auto opening = [&](double station_m) {
                return width_m / 2 + side_slope_ratio * cut.at_m(station_m) + standing.reach_m;
            };
            for (const auto& span : axis_inside(run, standing)) {
                spans.push_back({.span = span, .max_m = opening(span.from_m), .max_station_m = span.from_m});
            }
            for (const auto& [a, b] : edges) {
                const auto over = exceeding_spans(run.span.from_m, run.span.to_m, [&](double station_m) {
                    return opening(station_m) - distance_m(run.at(station_m), a, b);
                });
                if (over) {
                    spans.push_back(*over);
                }
            }
        }
        for (const auto& over : joined(std::move(spans))) {
            reached.push_back({.kind = standing.kind, .name = standing.name, .over = over});
        }
    }
    return reached;
}

double heap_width_m(const Heap& heap, double cut_m, bool sloped)
{
    const double slope = sloped ? heap.side_slope_ratio : 0;
    const double loose_m2 = std::max(0.0, cut_m) * (heap.width_m + slope * cut_m) * (1 + heap.swell_ratio);
    return std::sqrt(4 * loose_m2 / std::tan(heap.repose_rad));
}

double heap_end_m(const Heap& heap, double cut_m, bool sloped)
{
    const double slope = sloped ? heap.side_slope_ratio : 0;
    return heap.width_m / 2 + slope * std::max(0.0, cut_m) + heap.setback_m + heap_width_m(heap, cut_m, sloped);
}

SpoilRoom spoil_room(const Polyline& line, const std::vector<CutRun>& cuts, const std::vector<SiteObject>& all,
                     const Heap& heap)
{
    const auto pieces = on_line(line, cuts);
    SpoilRoom room{.left = side_of(pieces, all, heap, true), .right = side_of(pieces, all, heap, false)};
    room.on_left = room.left.taken_m <= room.right.taken_m;
    for (const auto& cut : cuts) {
        for (const double station_m : {cut.span.from_m, cut.span.to_m}) { // grows with the cut, which is straight
            const double width = heap_width_m(heap, cut.at_m(station_m), cut.sloped);
            if (width > room.widest_m) {
                room.widest_m = width;
                room.widest_station_m = station_m;
            }
        }
    }
    return room;
}

} // namespace trenchwright
