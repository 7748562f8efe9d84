#pragma once

#include "trenchwright/draw/legend.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/page/labels.hpp"
#include "trenchwright/page/scale.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Trenches of the outlet that the papers show (drawn_outlet), in the order of the sources; none when no workable
/// outlet.
/// @throws Error (input) as drawn_outlet
std::vector<const TrenchPlan*> shown_trenches(const JobPlan& plan);

/// The part of the site the plan view must show: lot, buildings, sources, outlets near the lot, trenches.
Box shown_part(const JobPlan& plan);

/// One plan view being drawn: what its steps share.
struct PlanView {
    Canvas& canvas;
    const JobPlan& plan;
    std::vector<const TrenchPlan*> trenches;
    PageBox frame;
    DrawScale scale;
    PlanTransform transform;
    LabelPlacer labels;
    Legend& legend;
    std::optional<std::size_t> only_outlet{}; ///< of Site::outlets; nothing: all of them are drawn and compared
};

PageLine to_page(const PlanView& view, const Polyline& line);
PageRings to_page(const PlanView& view, const Polygon& area);
/// Notes on the canvas that the nth of these things is drawn, if the frame shows any of it.
void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Point& at);
void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Polyline& line);
void note_shown(PlanView& view, SheetThing thing, std::size_t nth, const Polygon& area);
/// Places a text near a point and draws it, with a leader where it had to move away.
/// @return false when there was no room
bool label(PlanView& view, const LabelWish& wish, const std::string& text, const TextStyle& style);

// The steps, each in a file of its own kind.
void draw_areas(PlanView& view);         ///< lots, street, surfaces
void draw_ground(PlanView& view);        ///< contours, trees, spots
void draw_buildings(PlanView& view);     ///< foundations, keep-outs, our lot's line
void draw_marks(PlanView& view);         ///< tolerance strips and lines
void draw_footing_drain(PlanView& view); ///< line and pit, inside the foundation
void draw_cleanouts(PlanView& view);
void draw_trenches(PlanView& view); ///< lines, hand-dig zones, ticks, flow
void draw_station_ticks(PlanView& view, const TrenchPlan& trench);
void draw_trench_symbols(PlanView& view); ///< bends and crossings
void draw_ends(PlanView& view);           ///< sources and outlets
void draw_refusals(PlanView& view);       ///< where outlets are refused, and what closes the way
void label_refusals(PlanView& view);      ///< what lacks there
void label_marks(PlanView& view);         ///< letters along the lines
void label_ends(PlanView& view);          ///< names of sources and outlets
void label_trenches(PlanView& view);      ///< crossings and bends
void label_stations(PlanView& view);
void label_areas(PlanView& view);
void label_ground(PlanView& view); ///< contours and spots, where there is room left

/// The right end of a scale bar and of its last figure, in points. draw_scale_bar draws the bar: round blocks at the
/// left end of a strip, at most `room_pt` wide.
struct BarEnds {
    double blocks_pt = 0;
    double figures_pt = 0;
};
BarEnds draw_scale_bar(PlanView& view, const PageBox& strip, double room_pt);

inline constexpr double plan_strip_pt = 20; ///< below the frame, for scale and north arrow

/// The whole plan view in a box: frame, and below it the scale and the north arrow.
void draw_plan_view(Canvas& canvas, const JobPlan& plan, const PageBox& box, const DrawScale& scale, Legend& legend);

} // namespace trenchwright
