#pragma once

#include "trenchwright/page/canvas.hpp"
#include "trenchwright/site/site.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// What a line of the legend explains.
enum class LegendKind {
    trench,
    hand_zone,
    flow,
    bend,
    cleanout,
    junction,
    crossing,
    pothole,
    mark,
    probable_run,
    tolerance,
    outlet,
    outlet_refused,
    source,
    lot_line,
    right_of_way,
    neighbor,
    foundation,
    neighbor_building,
    footing_drain,
    pit,
    surface,
    keep_out,
    tree,
    spot,
    contour,
    pipe,
    trench_bottom,
    ground_line,
    depth_unknown,
    planned_pipe,
    laid_line,
    measured_place,
    level_only,
    not_measured,
    fault,
    refused_place,
    closing,
    nearest_line
};

struct LegendItem {
    LegendKind kind = LegendKind::trench;
    std::string text;
    Facility facility = Facility::unstated;
    OutletKind outlet = OutletKind::popup;
    SourceKind source = SourceKind::downspout;
    std::size_t nth = 0; ///< of the surface kinds
};

/// Explains only what was drawn: the views add to it while they draw.
class Legend {
  public:
    void add(const LegendItem& item);
    /// Draws from the top of the box in one column, or in two when one is too short.
    /// @return the lower end of what was drawn
    double draw(Canvas& canvas, const PageBox& box) const;
    /// The sample of one item in a box.
    static void draw_sample(Canvas& canvas, const PageBox& box, const LegendItem& item);
    [[nodiscard]] const std::vector<LegendItem>& items() const { return items_; }

  private:
    std::vector<LegendItem> items_; ///< in the order of LegendKind
};

} // namespace trenchwright
