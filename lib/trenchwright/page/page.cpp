#include "trenchwright/page/page.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace trenchwright {

namespace {

PagePoint between(const PagePoint& a, const PagePoint& b, double share)
{
    return {a.x_pt + (b.x_pt - a.x_pt) * share, a.y_pt + (b.y_pt - a.y_pt) * share};
}

/// The shares of a segment at which it enters and leaves the box (slab method).
std::optional<std::pair<double, double>> span_in(const PageBox& box, const PagePoint& a, const PagePoint& b)
{
    double enter = 0;
    double leave = 1;
    const auto slab = [&](double from, double step, double low, double high) {
        if (step == 0) {
            return from >= low && from <= high;
        }
        const double first = (low - from) / step;
        const double second = (high - from) / step;
        enter = std::max(enter, std::min(first, second));
        leave = std::min(leave, std::max(first, second));
        return enter <= leave;
    };
    const bool hit = slab(a.x_pt, b.x_pt - a.x_pt, box.left_pt, box.right_pt) &&
                     slab(a.y_pt, b.y_pt - a.y_pt, box.top_pt, box.bottom_pt);
    return hit ? std::optional(std::pair(enter, leave)) : std::nullopt;
}

} // namespace

PageBox box_at(const PagePoint& top_left, const PageSize& size)
{
    return {top_left.x_pt, top_left.y_pt, top_left.x_pt + size.width_pt, top_left.y_pt + size.height_pt};
}

PageBox box_about(const PagePoint& center, const PageSize& size)
{
    return box_at({center.x_pt - size.width_pt / 2, center.y_pt - size.height_pt / 2}, size);
}

PageBox grown(const PageBox& box, double by_pt)
{
    return {box.left_pt - by_pt, box.top_pt - by_pt, box.right_pt + by_pt, box.bottom_pt + by_pt};
}

PageLine corners(const PageBox& box)
{
    return {{box.left_pt, box.top_pt},
            {box.right_pt, box.top_pt},
            {box.right_pt, box.bottom_pt},
            {box.left_pt, box.bottom_pt}};
}

std::array<PagePoint, 4> turned(const PageBox& box, double turn_rad)
{
    const auto middle = box.center();
    const double c = std::cos(turn_rad);
    const double s = std::sin(turn_rad);
    const auto corner = [&](double x_pt, double y_pt) {
        const double right = x_pt - middle.x_pt;
        const double down = y_pt - middle.y_pt;
        return PagePoint{middle.x_pt + right * c - down * s, middle.y_pt + right * s + down * c};
    };
    return {corner(box.left_pt, box.top_pt), corner(box.right_pt, box.top_pt), corner(box.right_pt, box.bottom_pt),
            corner(box.left_pt, box.bottom_pt)};
}

bool overlap(const std::array<PagePoint, 4>& a, const std::array<PagePoint, 4>& b)
{
    const auto apart_along = [&](const PagePoint& from, const PagePoint& to) {
        const auto reach = [&](const std::array<PagePoint, 4>& box) {
            std::array<double, 4> along{};
            std::transform(box.begin(), box.end(), along.begin(), [&](const PagePoint& p) {
                return (to.x_pt - from.x_pt) * p.x_pt + (to.y_pt - from.y_pt) * p.y_pt;
            });
            return std::pair(*std::min_element(along.begin(), along.end()),
                             *std::max_element(along.begin(), along.end()));
        };
        const auto [a_low, a_high] = reach(a);
        const auto [b_low, b_high] = reach(b);
        return a_high <= b_low || b_high <= a_low;
    };
    for (const auto& box : {a, b}) {
        if (apart_along(box[0], box[1]) || apart_along(box[1], box[2])) {
            return false;
        }
    }
    return true;
}

bool inside(const PageBox& box, const PagePoint& p)
{
    return p.x_pt >= box.left_pt && p.x_pt <= box.right_pt && p.y_pt >= box.top_pt && p.y_pt <= box.bottom_pt;
}

bool within(const PageBox& inner, const PageBox& outer)
{
    return inner.left_pt >= outer.left_pt && inner.right_pt <= outer.right_pt && inner.top_pt >= outer.top_pt &&
           inner.bottom_pt <= outer.bottom_pt;
}

bool overlap(const PageBox& a, const PageBox& b)
{
    return a.left_pt < b.right_pt && b.left_pt < a.right_pt && a.top_pt < b.bottom_pt && b.top_pt < a.bottom_pt;
}

bool meets(const PageBox& box, const PagePoint& a, const PagePoint& b)
{
    const bool beside = std::max(a.x_pt, b.x_pt) < box.left_pt || std::min(a.x_pt, b.x_pt) > box.right_pt ||
                        std::max(a.y_pt, b.y_pt) < box.top_pt || std::min(a.y_pt, b.y_pt) > box.bottom_pt;
    return !beside && span_in(box, a, b).has_value();
}

double distance_pt(const PagePoint& a, const PagePoint& b)
{
    return std::hypot(b.x_pt - a.x_pt, b.y_pt - a.y_pt);
}

PageStep along(const PageLine& line, double distance)
{
    double left = std::max(distance, 0.0);
    PageStep step{.at = line.front(), .direction = {1, 0}};
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_pt(line[i - 1], line[i]);
        if (run <= 0) {
            continue;
        }
        const double share = std::min(left / run, 1.0);
        step.at = between(line[i - 1], line[i], share);
        step.direction = {(line[i].x_pt - line[i - 1].x_pt) / run, (line[i].y_pt - line[i - 1].y_pt) / run};
        if (left <= run) {
            break;
        }
        left -= run;
    }
    return step;
}

double length_pt(const PageLine& line)
{
    double sum = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        sum += distance_pt(line[i - 1], line[i]);
    }
    return sum;
}

std::vector<PageLine> clipped(const PageLine& line, const PageBox& box)
{
    std::vector<PageLine> pieces;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const auto span = span_in(box, line[i - 1], line[i]);
        if (!span) {
            continue;
        }
        const auto from = between(line[i - 1], line[i], span->first);
        const auto to = between(line[i - 1], line[i], span->second);
        if (pieces.empty() || distance_pt(pieces.back().back(), from) > 1e-9) {
            pieces.push_back({from});
        }
        pieces.back().push_back(to);
    }
    return pieces;
}

} // namespace trenchwright
