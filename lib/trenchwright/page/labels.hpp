#pragma once

#include "trenchwright/page/page.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// A label that looks for a place near its anchor.
struct LabelWish {
    PagePoint at;
    PageSize size;
    double gap_pt = 3;       ///< nearest distance from the anchor
    double reach_pt = 24;    ///< farthest; beyond a few points a leader is drawn
    bool centerd = false;    ///< try right on the anchor first (names of areas)
    double clearance_pt = 0; ///< kept free of other labels all round
};

struct PlacedLabel {
    PageBox box;
    std::optional<PageLine> leader; ///< from the anchor to the box's edge
};

/// Finds places for labels so that no two boxes overlap and none lies on a blocked line.
///
/// Greedy, in calling order: the important labels come first. Deterministic.
class LabelPlacer {
  public:
    explicit LabelPlacer(const PageBox& frame) : frame_(frame) {}

    /// No label may come here.
    void block(const PageBox& box) { taken_.push_back(box); }
    void block(const PageLine& line) { add(line, blocked_); }
    /// Labels keep off when they can.
    void avoid(const PageLine& line) { add(line, avoided_); }

    [[nodiscard]] bool is_free(const PageBox& box) const;
    /// Takes the best free place. Nothing when there is none within reach.
    std::optional<PlacedLabel> place(const LabelWish& wish);

    [[nodiscard]] const std::vector<PageBox>& taken() const { return taken_; }

  private:
    struct Segment {
        PagePoint from;
        PagePoint to;
    };
    static void add(const PageLine& line, std::vector<Segment>& to);
    [[nodiscard]] std::optional<double> score(const LabelWish& wish, const PlacedLabel& label, double away_pt) const;
    [[nodiscard]] bool leader_is_free(const PageLine& leader) const;
    [[nodiscard]] double lines_crossed(const PageLine& leader) const;

    PageBox frame_;
    std::vector<PageBox> taken_;
    std::vector<Segment> blocked_;
    std::vector<Segment> avoided_;
};

} // namespace trenchwright
