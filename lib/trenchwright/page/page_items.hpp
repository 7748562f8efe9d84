#pragma once

#include "trenchwright/base/inks.hpp"
#include "trenchwright/page/page.hpp"

#include <cstdint>
#include <memory>
#include <variant>
#include <vector>

namespace trenchwright {

struct Ink {
    std::uint32_t rgb = 0; ///< 0xRRGGBB
    double opacity_ratio = 1;
};

inline constexpr Ink paper_ink{.rgb = inks::paper_rgb};

struct Stroke {
    Ink ink;
    double width_pt = 0.6;
    std::vector<double> dashes_pt{}; ///< drawn, left out, drawn, ...; empty: a full line
    bool round_ends = false;
};

struct Hatch {
    Ink ink;
    double angle_rad = 0; ///< of the strokes, from the x axis, clockwise on the page
    double spacing_pt = 3;
    double width_pt = 0.4;
};

struct TextStyle {
    double size_pt = 7;
    bool bold = false;
    bool italic = false;
    Ink ink{.rgb = inks::words_rgb, .opacity_ratio = 1};
    double wrap_pt = 0;      ///< lines are broken at this width; 0: never
    bool masked = false;     ///< on a patch of paper, for text over lines
    bool sideways = false;   ///< reads upward
    double turn_rad = 0;     ///< about the text's middle, clockwise on the page; never together with sideways
    double spread_ratio = 1; ///< line spacing
};

/// A text broken into lines and shaped, as it reads: not turned.
struct SetText {
    std::shared_ptr<void> layout; ///< the text library's PangoLayout
    PageSize size;
};

// What a canvas keeps of each thing drawn on it.
struct PageArea {
    PageRings rings;
    Ink ink;
};
struct PageHatch {
    PageRings rings;
    Hatch hatch;
};
struct PageStroke {
    PageLine points;
    bool closed = false;
    Stroke stroke;
};
struct PageDisc {
    PagePoint center;
    double radius_pt = 0;
    Ink ink;
};
struct PageCircle {
    PagePoint center;
    double radius_pt = 0;
    Stroke stroke;
};
struct PageText {
    PageBox box;
    SetText text;
    TextStyle style;
};
struct PageClip {
    PageBox box;
};
struct PageUnclip {};
using PageItem = std::variant<PageArea, PageHatch, PageStroke, PageDisc, PageCircle, PageText, PageClip, PageUnclip>;

} // namespace trenchwright
