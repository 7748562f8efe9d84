#pragma once

#include <array>
#include <vector>

namespace trenchwright {

/// A place on the sheet in points (1/72 in): x to the right, y down.
struct PagePoint {
    double x_pt = 0;
    double y_pt = 0;
    friend bool operator==(const PagePoint&, const PagePoint&) = default;
};

struct PageSize {
    double width_pt = 0;
    double height_pt = 0;
};

/// A rectangle on the sheet.
struct PageBox {
    double left_pt = 0;
    double top_pt = 0;
    double right_pt = 0;
    double bottom_pt = 0;
    [[nodiscard]] double width_pt() const { return right_pt - left_pt; }
    [[nodiscard]] double height_pt() const { return bottom_pt - top_pt; }
    [[nodiscard]] PagePoint center() const { return {(left_pt + right_pt) / 2, (top_pt + bottom_pt) / 2}; }
    friend bool operator==(const PageBox&, const PageBox&) = default;
};

using PageLine = std::vector<PagePoint>;
using PageRings = std::vector<PageLine>;

PageBox box_at(const PagePoint& top_left, const PageSize& size);
PageBox box_about(const PagePoint& center, const PageSize& size);
PageBox grown(const PageBox& box, double by_pt);
PageLine corners(const PageBox& box);
/// The corners of a box turned about its middle, clockwise on the page.
std::array<PagePoint, 4> turned(const PageBox& box, double turn_rad);
/// True when two such boxes share more than an edge (separating axes).
bool overlap(const std::array<PagePoint, 4>& a, const std::array<PagePoint, 4>& b);
bool inside(const PageBox& box, const PagePoint& p);
bool within(const PageBox& inner, const PageBox& outer);
/// Touching edges do not count.
bool overlap(const PageBox& a, const PageBox& b);
/// True when any part of the segment lies in the box.
bool meets(const PageBox& box, const PagePoint& a, const PagePoint& b);
double distance_pt(const PagePoint& a, const PagePoint& b);

/// A point of a line at a distance from its start, with the line's direction there (unit vector).
struct PageStep {
    PagePoint at;
    PagePoint direction;
};
PageStep along(const PageLine& line, double distance_pt);
double length_pt(const PageLine& line);

/// The pieces of a line that lie in a box.
std::vector<PageLine> clipped(const PageLine& line, const PageBox& box);

} // namespace trenchwright
