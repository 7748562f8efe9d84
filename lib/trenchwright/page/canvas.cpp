#include "trenchwright/page/canvas.hpp"

#include "trenchwright/page/lettering.hpp"

#include <utility>

namespace trenchwright {

Canvas::Canvas(const PageSize& size) : page_size_(size), lettering_(std::make_unique<Lettering>()) {}

Canvas::~Canvas() = default;

void Canvas::keep(PageItem item)
{
    pages_[page_].push_back(std::move(item));
}

void Canvas::next_page()
{
    pages_.emplace_back();
    turn_to(pages_.size() - 1);
}

void Canvas::turn_to(std::size_t page)
{
    page_ = page;
}

void Canvas::clear()
{
    pages_.assign(1, {});
    page_ = 0;
    drawn_.clear();
    things_ = {};
}

void Canvas::fill(const PageRings& rings, const Ink& ink)
{
    keep(PageArea{rings, ink});
}

void Canvas::fill(const PageBox& box, const Ink& ink)
{
    fill(PageRings{corners(box)}, ink);
}

void Canvas::hatch(const PageRings& rings, const Hatch& hatch)
{
    keep(PageHatch{rings, hatch});
}

void Canvas::line(const PageLine& points, const Stroke& stroke)
{
    keep(PageStroke{.points = points, .closed = false, .stroke = stroke});
}

void Canvas::outline(const PageLine& ring, const Stroke& stroke)
{
    keep(PageStroke{.points = ring, .closed = true, .stroke = stroke});
}

void Canvas::disc(const PagePoint& center, double radius_pt, const Ink& ink)
{
    keep(PageDisc{center, radius_pt, ink});
}

void Canvas::circle(const PagePoint& center, double radius_pt, const Stroke& stroke)
{
    keep(PageCircle{center, radius_pt, stroke});
}

void Canvas::clip(const PageBox& box)
{
    keep(PageClip{box});
}

void Canvas::unclip()
{
    keep(PageUnclip{});
}

PageSize Canvas::text_size(const std::string& text, const TextStyle& style) const
{
    const auto& level = lettering_->set(text, style).size;
    return style.sideways ? PageSize{level.height_pt, level.width_pt} : level;
}

PageBox Canvas::text(const PagePoint& top_left, const std::string& text, const TextStyle& style)
{
    const auto box = box_at(top_left, text_size(text, style));
    keep(PageText{box, lettering_->set(text, style), style});
    drawn_.push_back({.text = text, .corners = turned(box, style.turn_rad), .page = page_});
    return box;
}

} // namespace trenchwright
