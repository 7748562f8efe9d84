#include "draw/ink.hpp"
#include "draw/plan_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace trenchwright {

namespace {

constexpr double spot_clearance_pt = 2.5; // figures closer together are read as one

struct ContourPiece {
    PageLine line; ///< two points
    long long level = 0;
};

double unit_m(const PlanView& view)
{
    return view.plan.job.rules.units == UnitSystem::us ? ft_in_m : 1;
}

/// Contour interval in printed units: five to twelve lines over the ground's relief.
double contour_step(const PlanView& view)
{
    const auto& points = view.plan.ground.points();
    const auto by_elev = [](const Point3& a, const Point3& b) { return a.elev_m < b.elev_m; };
    const auto [low, high] = std::minmax_element(points.begin(), points.end(), by_elev);
    const double relief = points.empty() ? 0 : (high->elev_m - low->elev_m) / unit_m(view);
    return relief > 0 ? round_step_ratio(relief, 12) : 0;
}

/// Where one level cuts a triangle: the ground is a plane there, so a straight piece.
/// A corner exactly on the level counts as above it, so no piece is met twice and none is lost.
void cut_triangle(const PlanView& view, const std::array<Point3, 3>& corner, double elev_m, PageLine& piece)
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

std::vector<ContourPiece> contours(const PlanView& view, double step)
{
    std::vector<ContourPiece> pieces;
    const auto& points = view.plan.ground.points();
    const double step_m = step * unit_m(view);
    for (const auto& triangle : view.plan.ground.triangles()) {
        const auto at = [&](int index) { return points[static_cast<std::size_t>(index)]; };
        const std::array<Point3, 3> corner{at(triangle.a), at(triangle.b), at(triangle.c)};
        const auto [low, high] = std::minmax({corner[0].elev_m, corner[1].elev_m, corner[2].elev_m});
        for (auto level = std::llround(std::ceil(low / step_m)); static_cast<double>(level) * step_m <= high; ++level) {
            ContourPiece piece{.line = {}, .level = level};
            cut_triangle(view, corner, static_cast<double>(level) * step_m, piece.line);
            if (piece.line.size() == 2) {
                pieces.push_back(piece);
            }
        }
    }
    return pieces;
}

void draw_contours(PlanView& view)
{
    const double step = contour_step(view);
    if (step <= 0) {
        return;
    }
    for (const auto& piece : contours(view, step)) {
        view.canvas.line(piece.line, {.ink = palette::contour, .width_pt = 0.6, .round_ends = true});
    }
    const auto* unit = view.plan.job.rules.units == UnitSystem::us ? "ft" : "m";
    view.legend.add({.kind = LegendKind::contour, .text = fmt::format("ground contour, every {:g} {}", step, unit)});
}

void draw_trees(PlanView& view)
{
    const auto& rules = view.plan.job.rules.route;
    for (const auto& tree : view.plan.site.trees) {
        const auto at = view.transform.to_page(tree.at);
        const auto radius = [&](double factor) { return view.transform.length_pt(tree.trunk_diameter_m * factor); };
        view.canvas.disc(at, radius(rules.tree_factor), {.rgb = palette::plant.rgb, .opacity_ratio = 0.10});
        view.canvas.circle(at, radius(rules.tree_factor),
                           {.ink = palette::plant, .width_pt = 0.8, .dashes_pt = {4, 2.5}});
        view.canvas.circle(at, radius(rules.tree_keep_out_factor), {.ink = palette::plant, .width_pt = 0.8});
        view.canvas.disc(at, std::max(radius(0.5), 1.2), palette::plant);
        view.labels.block(box_about(at, {5, 5}));
        view.legend.add({.kind = LegendKind::tree, .text = "tree: by hand, inner ring never"});
    }
}

/// One figure on each level, as near the middle of the frame as there is room.
void label_contours(PlanView& view)
{
    const double step = contour_step(view);
    if (step <= 0) {
        return;
    }
    std::map<long long, std::vector<PageLine>> by_level;
    for (auto& piece : contours(view, step)) {
        by_level[piece.level].push_back(std::move(piece.line));
    }
    const TextStyle style{.size_pt = 5.4, .italic = true, .ink = {.rgb = 0x7A6A50}, .halo = true};
    for (auto& [level, pieces] : by_level) {
        const auto middle = [](const PageLine& piece) { return along(piece, length_pt(piece) / 2).at; };
        std::stable_sort(pieces.begin(), pieces.end(), [&](const PageLine& a, const PageLine& b) {
            return distance_pt(middle(a), view.frame.centre()) < distance_pt(middle(b), view.frame.centre());
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
    for (const auto& spot : view.plan.site.spots) {
        const auto at = view.transform.to_page(spot.at);
        draw_spot(view.canvas, at);
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
