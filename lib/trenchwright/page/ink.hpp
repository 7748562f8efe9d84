#pragma once

#include "trenchwright/base/inks.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/site/site.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The sheet's palette. Marks keep the uniform color code; everything else stays grey or slate.
namespace palette {
inline constexpr Ink ink{.rgb = inks::words_rgb};
inline constexpr Ink soft_ink{.rgb = 0x55606E};
inline constexpr Ink faint_ink{.rgb = 0x8B95A1};
inline constexpr Ink rule{.rgb = 0xC9CFD6};
inline constexpr Ink heading{.rgb = 0x24485C};
inline constexpr Ink band{.rgb = 0xEEF2F4};
inline constexpr Ink trench{.rgb = inks::trench_rgb};
inline constexpr Ink hand{.rgb = inks::hand_dig_rgb};
inline constexpr Ink stop{.rgb = inks::stop_rgb};
inline constexpr Ink outside{.rgb = 0xF5F5F2};
inline constexpr Ink street{.rgb = 0xE7E8EA};
inline constexpr Ink building{.rgb = 0xCDD2D8};
inline constexpr Ink contour{.rgb = 0xA8977C};
inline constexpr Ink plant{.rgb = 0x6F7F62};
inline constexpr Ink soil{.rgb = 0xF1EBE0};
inline constexpr Ink pipe{.rgb = 0xD5E4EE};
inline constexpr Ink paper{.rgb = inks::paper_rgb};
inline constexpr Ink plot{.rgb = 0xFBFCFC}; ///< behind a profile
inline constexpr Ink refused{.rgb = 0x9AA2AC};
} // namespace palette

/// How a kind of buried line is drawn: the code's color, a pattern of its own and its letters, so that it can be
/// told apart in grey print and by color-blind readers.
struct MarkStyle {
    Ink ink;
    Ink text; ///< dark enough to read
    std::vector<double> dashes_pt;
    double width_pt = 1.3;
};
MarkStyle mark_style(Facility facility);
/// @param probable  a run nobody marked: short strokes far apart, in the darker shade
void draw_mark_line(Canvas& canvas, const PageLine& line, Facility facility, bool probable = false);

/// Letters in a small paper-colored box, centerd; with a question mark behind them for a probable run.
void draw_letters(Canvas& canvas, const PagePoint& center, Facility facility, bool probable = false);
PageSize letters_size(const Canvas& canvas, Facility facility, bool probable = false);

/// Fill and pattern of the nth kind of surface on the sheet.
void draw_surface(Canvas& canvas, const PageRings& rings, std::size_t nth);

void draw_keep_out(Canvas& canvas, const PageRings& rings);

// Symbols, centerd; the same on the plan and in the legend.
void draw_outlet(Canvas& canvas, const PagePoint& at, OutletKind kind, bool refused);
void draw_source(Canvas& canvas, const PagePoint& at, SourceKind kind);
void draw_bend(Canvas& canvas, const PagePoint& at);
void draw_crossing(Canvas& canvas, const PagePoint& at, Facility facility);
void draw_cleanout(Canvas& canvas, const PagePoint& at);
void draw_pothole(Canvas& canvas, const PagePoint& at); ///< a rim about the crossing's symbol
void draw_junction(Canvas& canvas, const PagePoint& at);
void draw_pit(Canvas& canvas, const PagePoint& at);
void draw_spot(Canvas& canvas, const PagePoint& at);
void draw_refused_place(Canvas& canvas, const PagePoint& at); ///< a cross in a ring
/// A chevron that points the way the water runs.
void draw_flow(Canvas& canvas, const PagePoint& at, const PagePoint& direction);
Stroke lot_line_stroke();
Stroke trench_stroke();
Stroke footing_stroke();
Stroke nearest_stroke(); ///< of a line that does not work
Hatch hand_hatch();

inline constexpr double symbol_radius_pt = 4.5;

} // namespace trenchwright
