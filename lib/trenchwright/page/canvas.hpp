#pragma once

#include "trenchwright/base/drawn_things.hpp"
#include "trenchwright/page/page_items.hpp"

#include <array>
#include <memory>
#include <string>
#include <vector>

namespace trenchwright {

/// Where a text was drawn.
struct DrawnText {
    std::string text;
    std::array<PagePoint, 4> corners; ///< of its box, in order round it; turned with the text
    std::size_t page = 0;             ///< from 0
};

class Lettering;

/// Pages being drawn: measures and places texts at once and keeps what is drawn, to be printed to any form (print.hpp).
/// Stays on the thread that made it.
class Canvas {
  public:
    explicit Canvas(const PageSize& size);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    /// Everything from here on lies on a new last page.
    void next_page();
    /// Everything from here on lies on top of a page already begun. @param page  from 0
    void turn_to(std::size_t page);
    /// One blank page, as in the beginning.
    void clear();

    void fill(const PageRings& rings, const Ink& ink);
    void fill(const PageBox& box, const Ink& ink);
    void hatch(const PageRings& rings, const Hatch& hatch);
    void line(const PageLine& points, const Stroke& stroke);
    void outline(const PageLine& ring, const Stroke& stroke);
    void disc(const PagePoint& center, double radius_pt, const Ink& ink);
    void circle(const PagePoint& center, double radius_pt, const Stroke& stroke);

    /// Everything until the matching unclip is cut at the box.
    void clip(const PageBox& box);
    void unclip();

    [[nodiscard]] PageSize text_size(const std::string& text, const TextStyle& style) const;
    /// Places the text's box with its upper left corner at a point; returns the box.
    PageBox text(const PagePoint& top_left, const std::string& text, const TextStyle& style);
    /// All texts in drawing order.
    [[nodiscard]] const std::vector<DrawnText>& drawn_texts() const { return drawn_; }

    /// Notes that a thing is on these pages: said by whoever draws it, when it lies where it can be seen.
    void shows(SheetThing thing, std::size_t nth = 0) { things_.add(thing, nth); }
    [[nodiscard]] const DrawnThings& things() const { return things_; }

    [[nodiscard]] const PageSize& page_size() const { return page_size_; }
    /// In the order in which they lie on each other.
    [[nodiscard]] const std::vector<std::vector<PageItem>>& pages() const { return pages_; }

  private:
    void keep(PageItem item);

    PageSize page_size_;
    std::unique_ptr<Lettering> lettering_;
    std::vector<std::vector<PageItem>> pages_{1};
    std::size_t page_ = 0;
    std::vector<DrawnText> drawn_;
    DrawnThings things_;
};

} // namespace trenchwright
