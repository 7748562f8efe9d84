#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

constexpr double rim_pt = 18; // of a plan's frame, kept for labels and match lines
constexpr double outlet_reach_m = 6;

void append(std::vector<Point>& all, const std::vector<Point>& more)
{
    all.insert(all.end(), more.begin(), more.end());
}

/// What a reviewer must find on the plan.
std::vector<Point> wanted_points(const SheetSet& set)
{
    std::vector<Point> all;
    for (const auto& lot : set.plan.site.parcel) {
        append(all, lot.outer);
    }
    for (const auto& house : set.plan.site.foundations) {
        append(all, house.outer);
    }
    for (const auto& source : set.plan.site.sources) {
        all.push_back(source.at);
    }
    for (const auto* trench : set.trenches) {
        append(all, trench->line.route.line);
        if (!trench->joins) {
            const auto& end = trench->line.route.end.at;
            append(all, {{end.x_m - outlet_reach_m, end.y_m - outlet_reach_m},
                         {end.x_m + outlet_reach_m, end.y_m + outlet_reach_m}});
        }
    }
    return all;
}

/// Unit vector of the site direction that points right on the sheet.
Point right_of(const SheetSet& set)
{
    const TrenchPlan* longest = nullptr;
    for (const auto* trench : set.trenches) {
        const bool longer =
            longest == nullptr || trench->measured.quantities.length_m > longest->measured.quantities.length_m;
        longest = longer ? trench : longest;
    }
    if (!set.plan.job.rules.papers.along_trench || longest == nullptr) {
        return {1, 0};
    }
    const auto& line = longest->line.route.line;
    const double angle_rad = direction_rad(line.front(), line.back());
    return {std::cos(angle_rad), std::sin(angle_rad)};
}

/// The site as it lies on the sheet: x to the right, y up, in meters.
Point laid(const Point& p, const Point& right)
{
    return {p.x_m * right.x_m + p.y_m * right.y_m, p.y_m * right.x_m - p.x_m * right.y_m};
}

Point unlaid(const Point& p, const Point& right)
{
    return {p.x_m * right.x_m - p.y_m * right.y_m, p.x_m * right.y_m + p.y_m * right.x_m};
}

struct LaidSite {
    Box part;                      ///< what the plans cover together
    std::vector<Polyline> drain{}; ///< what no plan may leave out
};

LaidSite laid_site(const SheetSet& set, const Point& right, double reach_m)
{
    std::vector<Point> all;
    for (const auto& p : wanted_points(set)) {
        all.push_back(laid(p, right));
    }
    LaidSite site{.part = grown(bounds(all), reach_m)};
    const auto keep = [&](Polyline line) {
        for (auto& p : line) {
            p = laid(p, right);
        }
        site.drain.push_back(std::move(line));
    };
    for (const auto* trench : set.trenches) {
        keep(trench->line.route.line);
    }
    if (set.trenches.empty()) {
        keep({all.front(), all.back()});
    }
    return site;
}

/// The least scale at which a part fits a room.
double needed_m_per_pt(const Box& part, const PageSize& room)
{
    return std::max((part.max_x_m - part.min_x_m) / room.width_pt, (part.max_y_m - part.min_y_m) / room.height_pt);
}

bool meets_drain(const LaidSite& site, const PageBox& window)
{
    return std::ranges::any_of(site.drain, [&](const Polyline& line) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            if (meets(window, {line[i - 1].x_m, line[i - 1].y_m}, {line[i].x_m, line[i].y_m})) {
                return true;
            }
        }
        return false;
    });
}

} // namespace

PlanTiles plan_tiles(const SheetSet& set, const PageBox& box)
{
    const auto& rules = set.plan.job.rules;
    const Point right = right_of(set);
    const PageSize room{box.width_pt() - 2 * rim_pt, box.height_pt() - plan_strip_pt - 2 * rim_pt};
    auto site = laid_site(set, right, rules.papers.reach_m);
    const auto& list =
        rules.units == UnitSystem::us ? rules.papers.plan_scales_us_ratio : rules.papers.plan_scales_metric_ratio;
    auto fits = scale_from(list, needed_m_per_pt(site.part, room), rules.units);
    if (!fits) { // the ground beyond the lot gives way before the lot does
        const auto bare = laid_site(set, right, 0);
        fits = scale_from(list, needed_m_per_pt(bare.part, room), rules.units);
        site = fits ? bare : site;
    }
    const double width_m = site.part.max_x_m - site.part.min_x_m;
    const double height_m = site.part.max_y_m - site.part.min_y_m;
    PlanTiles tiles{.scale = fits ? *fits : *scale_from({list.back()}, 0, rules.units),
                    .right_x_ratio = right.x_m,
                    .right_y_ratio = right.y_m,
                    .window = room,
                    .needed = {}};
    const double mpp = tiles.scale.meters_per_pt;
    tiles.needed = {.width_pt = width_m / mpp + 2 * rim_pt, .height_pt = height_m / mpp + 2 * rim_pt + plan_strip_pt};
    const auto count = [&](double size_m, double room_pt) {
        return static_cast<std::size_t>(std::max(1.0, std::ceil(size_m / (room_pt * mpp) - 1e-9)));
    };
    const auto cols = count(width_m, room.width_pt);
    const auto rows = count(height_m, room.height_pt);
    const auto middle = [](double low_m, double high_m, double nth, double of, double window_m) {
        return (low_m + high_m) / 2 + (nth - (of - 1) / 2) * window_m;
    };
    for (std::size_t row = 0; row < rows; ++row) {
        for (std::size_t col = 0; col < cols; ++col) {
            const Point center{middle(site.part.min_x_m, site.part.max_x_m, static_cast<double>(col),
                                      static_cast<double>(cols), room.width_pt * mpp),
                               middle(site.part.min_y_m, site.part.max_y_m, static_cast<double>(rows - 1 - row),
                                      static_cast<double>(rows), room.height_pt * mpp)};
            const auto window = box_about({center.x_m, center.y_m}, {room.width_pt * mpp, room.height_pt * mpp});
            if (cols * rows == 1 || meets_drain(site, window)) {
                tiles.tiles.push_back({.center = unlaid(center, right), .col = col, .row = row});
            }
        }
    }
    tiles.whole = tiles.tiles.size() == cols * rows;
    return tiles;
}

void draw_match_lines(PlanView& view, const PlanTiles& tiles, std::size_t index)
{
    const auto& own = tiles.tiles[index];
    const auto window = box_about(view.frame.center(), tiles.window);
    for (std::size_t i = 0; i < tiles.tiles.size(); ++i) {
        const auto& other = tiles.tiles[i];
        const bool beside = other.row == own.row && (other.col == own.col + 1 || other.col + 1 == own.col);
        const bool above = other.col == own.col && (other.row == own.row + 1 || other.row + 1 == own.row);
        if (!beside && !above) {
            continue;
        }
        const double x = other.col > own.col ? window.right_pt : window.left_pt;
        const double y = other.row > own.row ? window.bottom_pt : window.top_pt;
        const PageLine line = beside ? PageLine{{x, view.frame.top_pt}, {x, view.frame.bottom_pt}}
                                     : PageLine{{view.frame.left_pt, y}, {view.frame.right_pt, y}};
        view.canvas.line(line, {.ink = palette::ink, .width_pt = 1.1, .dashes_pt = {16, 4, 5, 4}});
        view.labels.block(line);
        const auto text = "Match line, see sheet " + std::to_string(i + 1);
        const TextStyle style{.size_pt = 6.8, .bold = true, .masked = true, .sideways = beside};
        const auto size = view.canvas.text_size(text, style);
        const double off = (beside ? size.width_pt : size.height_pt) / 2 + 2;
        const auto at_share = [&](double share) {
            return box_about(beside ? PagePoint{x + (other.col > own.col ? off : -off),
                                                view.frame.top_pt + share * view.frame.height_pt()}
                                    : PagePoint{view.frame.left_pt + share * view.frame.width_pt(),
                                                y + (other.row > own.row ? off : -off)},
                             size);
        };
        auto place = at_share(0.5);
        for (const double share : {0.5, 0.35, 0.65, 0.2, 0.8}) {
            if (view.labels.is_free(at_share(share))) {
                place = at_share(share);
                break;
            }
        }
        view.canvas.text({place.left_pt, place.top_pt}, text, style);
        view.labels.block(place);
    }
}

} // namespace trenchwright
