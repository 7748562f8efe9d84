#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/page/bearing.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/lot_sides.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double off_line_pt = 3;

/// Boxes along a turned text that cover it and little else.
std::vector<PageBox> cover_of(const PagePoint& middle, const PageSize& size, double turn_rad)
{
    const double half = size.height_pt / 2;
    const double length = std::max(size.width_pt - size.height_pt, 0.0);
    const auto steps = std::max(1.0, std::ceil(length / half));
    const double reach = half * (std::abs(std::cos(turn_rad)) + std::abs(std::sin(turn_rad)));
    std::vector<PageBox> boxes;
    for (double i = 0; i <= steps; ++i) {
        const double along = (i / steps - 0.5) * length;
        boxes.push_back(box_about({middle.x_pt + along * std::cos(turn_rad), middle.y_pt + along * std::sin(turn_rad)},
                                  {2 * reach, 2 * reach}));
    }
    return boxes;
}

bool all_free(const PlanView& view, const std::vector<PageBox>& boxes)
{
    return std::ranges::all_of(boxes, [&](const PageBox& box) { return view.labels.is_free(box); });
}

struct AlongLine {
    PageLine piece; ///< what the frame shows of the lot line
    std::string text;
    TextStyle style;
};

/// Beside the line, first in its middle; reads from left to right or upward.
bool label_along(PlanView& view, const AlongLine& wish)
{
    const auto& from = wish.piece.front();
    const auto& to = wish.piece.back();
    const double run = distance_pt(from, to);
    const auto size = view.canvas.text_size(wish.text, wish.style);
    if (run < size.width_pt + 4) {
        return false;
    }
    const bool backward = to.x_pt < from.x_pt || (to.x_pt == from.x_pt && to.y_pt > from.y_pt);
    const double turn = std::atan2(to.y_pt - from.y_pt, to.x_pt - from.x_pt) + (backward ? std::numbers::pi : 0);
    const PagePoint side{-(to.y_pt - from.y_pt) / run, (to.x_pt - from.x_pt) / run};
    const double max_share = 0.5 - (size.width_pt / 2 + 2) / run;
    for (const double share : {0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0}) {
        const auto on = along(wish.piece, run * (0.5 + share * max_share)).at;
        for (const double off : {off_line_pt + size.height_pt / 2, -off_line_pt - size.height_pt / 2}) {
            const PagePoint middle{on.x_pt + side.x_pt * off, on.y_pt + side.y_pt * off};
            const auto boxes = cover_of(middle, size, turn);
            if (!all_free(view, boxes)) {
                continue;
            }
            auto style = wish.style;
            style.turn_rad = turn;
            const auto place = box_about(middle, size);
            view.canvas.text({place.left_pt, place.top_pt}, wish.text, style);
            for (const auto& box : boxes) {
                view.labels.block(box);
            }
            return true;
        }
    }
    return false;
}

/// The longest piece of a straight line that the frame shows.
PageLine shown_piece(const PlanView& view, const Polyline& line)
{
    PageLine longest;
    for (const auto& piece : clipped(to_page(view, line), view.frame)) {
        longest = longest.empty() || length_pt(piece) > length_pt(longest) ? piece : longest;
    }
    return longest;
}

void number_line(PlanView& view, const PageLine& piece, const std::string& number)
{
    const auto middle = along(piece, length_pt(piece) / 2).at;
    label(view, {.at = middle, .size = {}, .gap_pt = 3, .reach_pt = 70}, number,
          {.size_pt = 6, .bold = true, .masked = true});
}

} // namespace

std::vector<LotLineRow> label_lot_lines(PlanView& view)
{
    const TextStyle style{.size_pt = 6.2, .masked = true};
    const auto units = view.plan.job.rules.units;
    std::vector<LotLineRow> rows;
    const auto sides = lot_sides(view.plan.site);
    for (std::size_t i = 0; i < sides.size(); ++i) {
        const auto& side = sides[i];
        const auto piece = shown_piece(view, side);
        if (piece.size() < 2) {
            continue;
        }
        const auto bearing = quadrant_bearing(side.front(), side.back());
        const auto length = lot_length_text(length_m(side), units);
        if (label_along(view, {.piece = piece, .text = bearing + "   " + length, .style = style})) {
            view.canvas.shows(SheetThing::lot_side, i);
        } else {
            rows.push_back({fmt::format("L{}", rows.size() + 1), bearing, length, i});
            number_line(view, piece, rows.back().number);
        }
    }
    return rows;
}

} // namespace trenchwright
