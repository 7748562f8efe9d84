#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <map>
#include <optional>

namespace trenchwright {

namespace {

constexpr double spot_clearance_pt = 2.5; // figures closer together are read as one

constexpr double min_relief_m = 0.001; // less is the noise of reading between cells
constexpr double net_pt = 4;           // for a ground without triangles
constexpr double relief_net_pt = 24;   // between corners of triangles the ground is a plane

struct ContourPiece {
    PageLine line; ///< two points
    long long level = 0;
};

double unit_m(const PlanView& view)
{
    return view.plan.job.rules.units == UnitSystem::us ? ft_in_m : 1;
}

using Corners = std::array<Point3, 3>;

/// A DEM has no triangles of its own: the part shown is read on a net fine enough for the eye.
std::vector<Corners> net_over_frame(const PlanView& view)
{
    const auto ground_at = [&](double x_pt, double y_pt) -> std::optional<Point3> {
        const auto at = view.transform.to_site({x_pt, y_pt});
        const auto elev_m = view.plan.ground.elev_m(at);
        return elev_m ? std::optional(Point3{at.x_m, at.y_m, *elev_m}) : std::nullopt;
    };
    std::vector<Corners> all;
    for (double x = view.frame.left_pt; x < view.frame.right_pt; x += net_pt) {
        for (double y = view.frame.top_pt; y < view.frame.bottom_pt; y += net_pt) {
            const auto a = ground_at(x, y);
            const auto b = ground_at(x + net_pt, y);
            const auto c = ground_at(x + net_pt, y + net_pt);
            const auto d = ground_at(x, y + net_pt);
            if (a && b && c && d) {
                all.push_back({*a, *b, *c});
                all.push_back({*a, *c, *d});
            }
        }
    }
    return all;
}

std::vector<Corners> ground_triangles(const PlanView& view)
{
    const auto& points = view.plan.ground.points();
    if (points.empty()) {
        return net_over_frame(view);
    }
    std::vector<Corners> all;
    const auto at = [&](int index) { return points[static_cast<std::size_t>(index)]; };
    for (const auto& triangle : view.plan.ground.triangles()) {
        all.push_back({at(triangle.a), at(triangle.b), at(triangle.c)});
    }
    return all;
}

/// Lowest and highest ground that the frame shows.
struct Relief {
    double low_m = std::numeric_limits<double>::infinity();
    double high_m = -std::numeric_limits<double>::infinity();
    void add(double elev_m)
    {
        low_m = std::min(low_m, elev_m);
        high_m = std::max(high_m, elev_m);
    }
};
Relief relief_shown(const PlanView& view, const std::vector<Corners>& triangles)
{
    Relief relief;
    for (const auto& corners : triangles) {
        for (const auto& corner : corners) {
            if (inside(view.frame, view.transform.to_page(flat(corner)))) {
                relief.add(corner.elev_m);
            }
        }
    }
    // Of a triangle larger than the frame no corner is in it.
    for (double x = view.frame.left_pt; x <= view.frame.right_pt; x += relief_net_pt) {
        for (double y = view.frame.top_pt; y <= view.frame.bottom_pt; y += relief_net_pt) {
            if (const auto elev_m = view.plan.ground.elev_m(view.transform.to_site({x, y}))) {
                relief.add(*elev_m);
            }
        }
    }
    return relief;
}

/// Contour interval in printed units: five to twelve lines over the relief of what is drawn.
double contour_step(const PlanView& view, const std::vector<Corners>& triangles)
{
    const auto [low_m, high_m] = relief_shown(view, triangles);
    return high_m - low_m > min_relief_m ? round_step_ratio((high_m - low_m) / unit_m(view), 12) : 0;
}

/// Where one level cuts a triangle: the ground is a plane there, so a straight piece.
/// A corner exactly on the level counts as above it, so no piece is met twice and none is lost.
void cut_triangle(const PlanView& view, const Corners& corner, double elev_m, PageLine& piece)
{
    for (std::size_t i = 0; i < 3; ++i) {
        const auto& a = corner[i];
        const auto& b = corner[(i + 1) % 3];
        if ((a.elev_m < elev_m) != (b.elev_m < elev_m)) {
            const double share = (elev_m - a.elev_m) / (b.elev_m - a.elev_m);
            piece.push_back(view.transform.to_page({a.x_m + (b.x_m - a.x_m) * share, a.y_m + (b.y_m - a.y_m) * share}));
        }
    }
}

struct Contours {
    double step = 0; ///< in printed units; 0: flat or no ground
    std::vector<ContourPiece> pieces;
};

Contours contours(const PlanView& view)
{
    const auto triangles = ground_triangles(view);
    Contours found{.step = contour_step(view, triangles), .pieces = {}};
    const double step_m = found.step * unit_m(view);
    for (const auto& corner : triangles) {
        if (step_m <= 0) {
            break;
        }
        const auto [low, high] = std::minmax({corner[0].elev_m, corner[1].elev_m, corner[2].elev_m});
        for (auto level = std::llround(std::ceil(low / step_m)); static_cast<double>(level) * step_m <= high; ++level) {
            ContourPiece piece{.line = {}, .level = level};
            cut_triangle(view, corner, static_cast<double>(level) * step_m, piece.line);
            if (piece.line.size() == 2) {
                found.pieces.push_back(piece);
            }
        }
    }
    return found;
}

/// Whether the ground of an adjoining lot is drawn is asked too.
void note_contour(PlanView& view, const PageLine& piece)
{
    if (clipped(piece, view.frame).empty()) {
        return;
    }
    view.canvas.shows(SheetThing::contour);
    const auto ends_on = [&](const Polygon& lot) {
        return std::ranges::any_of(piece, [&](const PagePoint& end) {
            return inside(view.frame, end) && contains(lot, view.transform.to_site(end));
        });
    };
    if (!view.canvas.things().has(SheetThing::neighbor_contour) &&
        std::ranges::any_of(view.plan.site.neighbors, ends_on)) {
        view.canvas.shows(SheetThing::neighbor_contour);
    }
}

void draw_contours(PlanView& view)
{
    const auto found = contours(view);
    for (const auto& piece : found.pieces) {
        view.canvas.line(piece.line, {.ink = palette::contour, .width_pt = 0.6, .round_ends = true});
        note_contour(view, piece.line);
    }
    if (!found.pieces.empty()) {
        const auto* unit = view.plan.job.rules.units == UnitSystem::us ? "ft" : "m";
        view.legend.add(
            {.kind = LegendKind::contour, .text = fmt::format("ground contour, every {:g} {}", found.step, unit)});
    }
}

void draw_trees(PlanView& view)
{
    const auto& rules = view.plan.job.rules.route;
    const auto& trees = view.plan.site.trees;
    for (std::size_t i = 0; i < trees.size(); ++i) {
        const auto& tree = trees[i];
        note_shown(view, SheetThing::tree, i, tree.at);
        const auto at = view.transform.to_page(tree.at);
        const auto radius = [&](double factor) { return view.transform.length_pt(tree.trunk_diameter_m * factor); };
        view.canvas.disc(at, radius(rules.tree_factor), {.rgb = palette::plant.rgb, .opacity_ratio = 0.10});
        view.canvas.circle(at, radius(rules.tree_factor),
                           {.ink = palette::plant, .width_pt = 0.8, .dashes_pt = {4, 2.5}});
        view.canvas.circle(at, radius(rules.tree_keep_out_factor), {.ink = palette::plant, .width_pt = 0.8});
        view.canvas.disc(at, std::max(radius(0.5), 1.2), palette::plant);
        view.labels.block(box_about(at, {5, 5}));
        view.legend.add({.kind = LegendKind::tree, .text = "tree protection zone: hand dig; inner ring: no digging"});
    }
}

/// One figure on each level, as near the middle of the frame as there is room.
void label_contours(PlanView& view)
{
    const auto found = contours(view);
    const double step = found.step;
    std::map<long long, std::vector<PageLine>> by_level;
    for (const auto& piece : found.pieces) {
        by_level[piece.level].push_back(piece.line);
    }
    const TextStyle style{.size_pt = 5.4, .italic = true, .ink = {.rgb = 0x7A6A50}, .masked = true};
    for (auto& [level, pieces] : by_level) {
        const auto middle = [](const PageLine& piece) { return along(piece, length_pt(piece) / 2).at; };
        std::stable_sort(pieces.begin(), pieces.end(), [&](const PageLine& a, const PageLine& b) {
            return distance_pt(middle(a), view.frame.center()) < distance_pt(middle(b), view.frame.center());
        });
        const auto text = fmt::format("{:.{}f}", static_cast<double>(level) * step, step < 0.1 ? 2 : step < 1 ? 1 : 0);
        const auto size = view.canvas.text_size(text, style);
        for (const auto& piece : pieces) {
            const auto box = box_about(middle(piece), size);
            if (view.labels.is_free(box)) {
                view.labels.block(box);
                view.canvas.text({box.left_pt, box.top_pt}, text, style);
                break;
            }
        }
    }
}

} // namespace

void draw_ground(PlanView& view)
{
    draw_contours(view);
    draw_trees(view);
    const auto& spots = view.plan.site.spots;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        const auto at = view.transform.to_page(spots[i].at);
        draw_spot(view.canvas, at);
        note_shown(view, SheetThing::shot, i, spots[i].at);
        view.labels.avoid({{at.x_pt - 2, at.y_pt}, {at.x_pt + 2, at.y_pt}});
        view.legend.add({.kind = LegendKind::spot, .text = "ground shot with elevation"});
    }
}

/// A figure that would crowd others is left out; the cross still shows where the shot was taken.
void label_ground(PlanView& view)
{
    label_contours(view);
    const TextStyle style{.size_pt = 5.3, .ink = palette::soft_ink};
    for (const auto& spot : view.plan.site.spots) {
        const auto text = elev_text(spot.elev_m, view.plan.job.rules.units);
        const LabelWish wish{.at = view.transform.to_page(spot.at),
                             .size = {},
                             .gap_pt = 1.8,
                             .reach_pt = 4.5,
                             .clearance_pt = spot_clearance_pt};
        label(view, wish, text.substr(0, text.find(' ')), style);
    }
}

} // namespace trenchwright
