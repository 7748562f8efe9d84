#pragma once

#include "draw/page.hpp"

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace trenchwright {

struct Ink {
    std::uint32_t rgb = 0; ///< 0xRRGGBB
    double opacity_ratio = 1;
};

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
    Ink ink{.rgb = 0x1C2430, .opacity_ratio = 1};
    double wrap_pt = 0;      ///< lines are broken at this width; 0: never
    bool masked = false;     ///< on a patch of paper, for text over lines
    bool sideways = false;   ///< reads upward
    double turn_rad = 0;     ///< about the text's middle, clockwise on the page; never together with sideways
    double spread_ratio = 1; ///< line spacing
};

/// Where a text was drawn.
struct DrawnText {
    std::string text;
    std::array<PagePoint, 4> corners; ///< of its box, in order round it; turned with the text
    std::size_t page = 0;             ///< from 0
};

/// Pages being drawn, to SVG, PNG or PDF by the same calls. Owns the drawing library's handles.
class Canvas {
  public:
    /// A trial measures and places like the others and keeps no picture.
    enum class Form { svg, png, pdf, trial };

    /// @param size         of one page; every page starts as blank paper
    /// @param dots_per_in  resolution of a PNG; the others are in points
    /// @param pages        known from the start: in an SVG or a PNG they stand below each other
    /// @throws Error (internal) when the drawing library fails, here or in any call
    Canvas(Form form, const PageSize& size, double dots_per_in, std::size_t pages = 1);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    /// Everything from here on lies on the next page.
    void next_page();
    /// What a PDF says of itself; others ignore it.
    void describe(const std::string& title);

    void fill(const PageRings& rings, const Ink& ink);
    void fill(const PageBox& box, const Ink& ink);
    void hatch(const PageRings& rings, const Hatch& hatch);
    void line(const PageLine& points, const Stroke& stroke);
    void outline(const PageLine& ring, const Stroke& stroke);
    void disc(const PagePoint& centre, double radius_pt, const Ink& ink);
    void circle(const PagePoint& centre, double radius_pt, const Stroke& stroke);

    /// Everything until the matching unclip is cut at the box.
    void clip(const PageBox& box);
    void unclip();

    [[nodiscard]] PageSize text_size(const std::string& text, const TextStyle& style) const;
    /// Places the text's box with its upper left corner at a point; returns the box.
    PageBox text(const PagePoint& top_left, const std::string& text, const TextStyle& style);
    /// All texts in drawing order.
    [[nodiscard]] const std::vector<std::string>& texts() const;
    [[nodiscard]] const std::vector<DrawnText>& drawn_texts() const;

    /// The file's bytes. Nothing can be drawn afterwards.
    std::string finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace trenchwright
