#include "trenchwright/page/labels.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double leader_from_pt = 8;      // nearer labels speak for themselves
constexpr double avoided_cost_pt = 14;    // a label rather moves this far than lie on an avoided line
constexpr double crossed_cost_pt = 12;    // or than send its leader over a trench or a mark
constexpr double preference_cost_pt = .3; // to the right is read most easily

/// Directions round the anchor, best first: right, left, above, below, then between.
const std::array<PagePoint, 16>& directions()
{
    static const auto made = [] {
        constexpr std::array<int, 16> order{0, 8, 14, 2, 10, 6, 12, 4, 15, 1, 9, 7, 13, 3, 11, 5};
        std::array<PagePoint, 16> all{};
        for (std::size_t i = 0; i < all.size(); ++i) {
            const double angle = order[i] * std::numbers::pi / 8;
            all[i] = {std::cos(angle), std::sin(angle)};
        }
        return all;
    }();
    return made;
}

PagePoint nearest(const PageBox& box, const PagePoint& p)
{
    return {std::clamp(p.x_pt, box.left_pt, box.right_pt), std::clamp(p.y_pt, box.top_pt, box.bottom_pt)};
}

PlacedLabel label_towards(const LabelWish& wish, const PagePoint& direction, double away_pt)
{
    // The center lies on a rounded rectangle, so the box's edge is about `away_pt` from the anchor.
    const PagePoint center{wish.at.x_pt + direction.x_pt * (away_pt + wish.size.width_pt / 2),
                           wish.at.y_pt + direction.y_pt * (away_pt + wish.size.height_pt / 2)};
    PlacedLabel label{.box = box_about(center, wish.size), .leader = {}};
    const auto end = nearest(label.box, wish.at);
    if (distance_pt(wish.at, end) > leader_from_pt) {
        label.leader = PageLine{wish.at, end};
    }
    return label;
}

} // namespace

void LabelPlacer::add(const PageLine& line, std::vector<Segment>& to)
{
    for (std::size_t i = 1; i < line.size(); ++i) {
        to.push_back({line[i - 1], line[i]});
    }
}

bool LabelPlacer::is_free(const PageBox& box) const
{
    return within(box, frame_) &&
           std::none_of(taken_.begin(), taken_.end(), [&](const PageBox& other) { return overlap(box, other); }) &&
           std::none_of(blocked_.begin(), blocked_.end(),
                        [&](const Segment& segment) { return meets(box, segment.from, segment.to); });
}

bool LabelPlacer::leader_is_free(const PageLine& leader) const
{
    return std::none_of(taken_.begin(), taken_.end(), [&](const PageBox& other) {
        // The anchor's own symbol is allowed: the leader starts in it.
        return !inside(grown(other, 0.5), leader.front()) && meets(other, leader.front(), leader.back());
    });
}

double LabelPlacer::lines_crossed(const PageLine& leader) const
{
    const auto side = [](const PagePoint& a, const PagePoint& b, const PagePoint& p) {
        return (b.x_pt - a.x_pt) * (p.y_pt - a.y_pt) - (b.y_pt - a.y_pt) * (p.x_pt - a.x_pt) > 0;
    };
    const auto& from = leader.front();
    const auto& to = leader.back();
    return static_cast<double>(std::count_if(blocked_.begin(), blocked_.end(), [&](const Segment& line) {
        return side(from, to, line.from) != side(from, to, line.to) &&
               side(line.from, line.to, from) != side(line.from, line.to, to);
    }));
}

std::optional<double> LabelPlacer::score(const LabelWish& wish, const PlacedLabel& label, double away_pt) const
{
    if (!is_free(grown(label.box, wish.clearance_pt)) || (label.leader && !leader_is_free(*label.leader))) {
        return std::nullopt;
    }
    const auto hits = std::count_if(avoided_.begin(), avoided_.end(),
                                    [&](const Segment& segment) { return meets(label.box, segment.from, segment.to); });
    const double crossed = label.leader ? lines_crossed(*label.leader) : 0;
    return away_pt - wish.gap_pt + avoided_cost_pt * static_cast<double>(hits > 0) + crossed_cost_pt * crossed;
}

std::optional<PlacedLabel> LabelPlacer::place(const LabelWish& wish)
{
    std::optional<PlacedLabel> best;
    double best_score = 0;
    const auto consider = [&](const PlacedLabel& label, double away_pt, double extra) {
        const auto found = score(wish, label, away_pt);
        if (found && (!best || *found + extra < best_score)) {
            best = label;
            best_score = *found + extra;
        }
    };
    if (wish.centerd) {
        consider({.box = box_about(wish.at, wish.size), .leader = {}}, wish.gap_pt, -1);
    }
    for (double away_pt = wish.gap_pt; away_pt <= wish.reach_pt; away_pt += 2.5) {
        for (std::size_t i = 0; i < directions().size(); ++i) {
            const double extra = preference_cost_pt * static_cast<double>(i);
            const bool may_be_best = !best || away_pt - wish.gap_pt + extra < best_score;
            if (may_be_best) {
                consider(label_towards(wish, directions()[i], away_pt), away_pt, extra);
            }
        }
    }
    if (best) {
        block(best->box);
        if (best->leader) {
            block(*best->leader);
        }
    }
    return best;
}

} // namespace trenchwright
