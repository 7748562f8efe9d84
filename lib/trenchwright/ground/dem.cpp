#include "trenchwright/ground/dem.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/tin.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>

namespace trenchwright {

namespace {

[[noreturn]] void refuse(const std::string& text)
{
    throw Error(ErrorKind::input, "elevation grid: " + text);
}

void check(const Raster& raster)
{
    if (raster.cols < 2 || raster.rows < 2) {
        refuse(std::to_string(raster.cols) + " x " + std::to_string(raster.rows) + " cells; at least 2 x 2 are needed");
    }
    const auto cells = static_cast<std::size_t>(raster.cols) * static_cast<std::size_t>(raster.rows);
    if (raster.elev_m.size() != cells) {
        refuse(std::to_string(raster.elev_m.size()) + " values for " + std::to_string(cells) + " cells");
    }
    for (std::size_t i = 0; i < cells; ++i) {
        if (std::isinf(raster.elev_m[i])) {
            const auto cols = static_cast<std::size_t>(raster.cols);
            refuse("infinite elevation in column " + std::to_string(i % cols) + ", row " + std::to_string(i / cols));
        }
    }
    if (!std::isfinite(raster.origin.x_m) || !std::isfinite(raster.origin.y_m)) {
        refuse("its origin is not a number");
    }
}

/// 0 inside the range, clamped onto it when outside by no more than `give`; nothing when farther out.
std::optional<double> onto(double position, int count, double give)
{
    const double most = count - 1;
    const bool near = position >= -give && position <= most + give;
    return near ? std::optional(std::clamp(position, 0.0, most)) : std::nullopt;
}

/// Where a position running from `from` to `to` passes whole numbers, as distances along the run.
void add_whole_crossings(std::vector<double>& breaks, double from, double to, double length, int count)
{
    const double low = std::max(std::ceil(std::min(from, to)), 0.0);
    const double high = std::min(std::floor(std::max(from, to)), static_cast<double>(count - 1));
    if (from == to) {
        return;
    }
    for (double line = low; line <= high; ++line) {
        breaks.push_back(length * ((line - from) / (to - from)));
    }
}

} // namespace

Dem::Dem(Raster raster, double edge_reach_m) : raster_(std::move(raster)), edge_reach_m_(edge_reach_m)
{
    check(raster_);
    const Point& c = raster_.step_col;
    const Point& r = raster_.step_row;
    const double area = c.x_m * r.y_m - c.y_m * r.x_m;
    const double col_step = std::hypot(c.x_m, c.y_m);
    const double row_step = std::hypot(r.x_m, r.y_m);
    // Steps within a billionth of one direction span no area worth the name.
    if (!(std::abs(area) > 1e-9 * col_step * row_step) || !std::isfinite(area)) {
        refuse("its column and row steps run in one direction or are zero");
    }
    col_per_m_ = {.x_m = r.y_m / area, .y_m = -r.x_m / area};
    row_per_m_ = {.x_m = -c.y_m / area, .y_m = c.x_m / area};
    col_gap_m_ = std::abs(area) / row_step;
    row_gap_m_ = std::abs(area) / col_step;
}

Dem::Cell Dem::cell_at(const Point& p) const
{
    const double x = p.x_m - raster_.origin.x_m;
    const double y = p.y_m - raster_.origin.y_m;
    return {.col = x * col_per_m_.x_m + y * col_per_m_.y_m, .row = x * row_per_m_.x_m + y * row_per_m_.y_m};
}

double Dem::value(int col, int row) const
{
    const auto cols = static_cast<std::size_t>(raster_.cols);
    return raster_.elev_m[static_cast<std::size_t>(row) * cols + static_cast<std::size_t>(col)];
}

std::optional<double> Dem::elev_m(const Point& p, double edge_m) const
{
    return elev_within_m(p, std::max(edge_m, edge_reach_m_));
}

std::optional<double> Dem::elev_within_m(const Point& p, double edge_m) const
{
    const Cell cell = cell_at(p);
    const auto col = onto(cell.col, raster_.cols, edge_m / col_gap_m_);
    const auto row = onto(cell.row, raster_.rows, edge_m / row_gap_m_);
    if (!col || !row) {
        return std::nullopt;
    }
    const int left = std::min(static_cast<int>(*col), raster_.cols - 2);
    const int low = std::min(static_cast<int>(*row), raster_.rows - 2);
    const double u = *col - left;
    const double v = *row - low;
    double elev = 0;
    const auto add = [&](int c, int r, double weight) { elev += weight > 0 ? weight * value(c, r) : 0; };
    add(left, low, (1 - u) * (1 - v));
    add(left + 1, low, u * (1 - v));
    add(left, low + 1, (1 - u) * v);
    add(left + 1, low + 1, u * v);
    return std::isnan(elev) ? std::nullopt : std::optional(elev);
}

std::optional<std::vector<double>> Dem::breaks_m(const Point& a, const Point& b) const
{
    const Cell from = cell_at(a);
    const Cell to = cell_at(b);
    const double length = distance_m(a, b);
    if (!elev_m(a, on_edge_m) || !elev_m(b, on_edge_m)) {
        return std::nullopt;
    }
    std::vector<double> breaks{0, length};
    add_whole_crossings(breaks, from.col, to.col, length, raster_.cols);
    add_whole_crossings(breaks, from.row, to.row, length, raster_.rows);
    std::sort(breaks.begin(), breaks.end());
    breaks.erase(std::unique(breaks.begin(), breaks.end()), breaks.end());
    // Between two breaks the run stays in one square, so its middle decides for all of it.
    for (std::size_t i = 1; i < breaks.size(); ++i) {
        if (!elev_m(point_at({a, b}, (breaks[i - 1] + breaks[i]) / 2), on_edge_m)) {
            return std::nullopt;
        }
    }
    return breaks;
}

bool Dem::whole(int col, int row) const
{
    return !std::isnan(value(col, row) + value(col + 1, row) + value(col, row + 1) + value(col + 1, row + 1));
}

Ring Dem::square(int col, int row) const
{
    Ring ring;
    for (const auto& [c, r] : {std::pair{col, row}, {col + 1, row}, {col + 1, row + 1}, {col, row + 1}}) {
        ring.push_back({.x_m = raster_.origin.x_m + c * raster_.step_col.x_m + r * raster_.step_row.x_m,
                        .y_m = raster_.origin.y_m + c * raster_.step_col.y_m + r * raster_.step_row.y_m});
    }
    return ring;
}

double Dem::outside_by_m(const Point& p) const
{
    if (elev_within_m(p, on_edge_m)) {
        return 0;
    }
    double nearest = std::numeric_limits<double>::infinity();
    for (int row = 0; row + 1 < raster_.rows; ++row) {
        for (int col = 0; col + 1 < raster_.cols; ++col) {
            if (whole(col, row)) {
                nearest = std::min(nearest, distance_m(p, Polygon{.outer = square(col, row), .holes = {}}));
            }
        }
    }
    return nearest;
}

} // namespace trenchwright
