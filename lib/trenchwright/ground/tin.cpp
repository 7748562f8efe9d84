#include "trenchwright/ground/tin.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace trenchwright {

namespace {

/// Cells reach this far over their edges, so no rounding can lose a face. Larger than any edge tolerance.
constexpr double cell_slack_m = 1e-5;
/// Two edge crossings nearer than this are one.
constexpr double same_break_m = 1e-9;
/// Rounding of a weight; a point on a shared edge must be found in one of its two faces.
constexpr double weight_rounding = 1e-12;
/// A run that stays this near an edge runs along it and is not cut by it.
constexpr double along_edge_m = 1e-9;
/// The grid holds about this many cells for each face.
constexpr double cells_per_face = 2;

Point minus_origin(const Point& p, const Point& origin)
{
    return {.x_m = p.x_m - origin.x_m, .y_m = p.y_m - origin.y_m};
}

std::size_t at(std::int64_t i)
{
    return static_cast<std::size_t>(i);
}

/// Sorted, and near-equal ones once; both ends exactly.
std::vector<double> distinct_breaks(std::vector<double> breaks, double length)
{
    std::sort(breaks.begin(), breaks.end());
    std::vector<double> kept{0};
    for (const double s : breaks) {
        if (s - kept.back() > same_break_m && length - s > same_break_m) {
            kept.push_back(s);
        }
    }
    kept.push_back(length);
    return kept;
}

bool covers(std::vector<Interval> spans, double length)
{
    std::sort(spans.begin(), spans.end(), [](const auto& a, const auto& b) { return a.from_m < b.from_m; });
    double reach = 0;
    for (const auto& span : spans) {
        if (span.from_m > reach + on_edge_m) {
            return false;
        }
        reach = std::max(reach, span.to_m);
    }
    return reach >= length - on_edge_m;
}

} // namespace

Tin::Tin(std::span<const Point3> points, std::span<const Triangle> triangles) : origin_(flat(points.front()))
{
    for (const auto& t : triangles) {
        std::array<Point3, 3> corner;
        for (std::size_t i = 0; i < 3; ++i) {
            const Point3& p = points[at(t[i])];
            corner[i] = {.x_m = p.x_m - origin_.x_m, .y_m = p.y_m - origin_.y_m, .elev_m = p.elev_m};
        }
        faces_.push_back(face_of(corner[0], corner[1], corner[2]));
        Rim rim{.corners = {flat(corner[0]), flat(corner[1]), flat(corner[2])}};
        const Point& b = faces_.back().b_per_m;
        const Point& c = faces_.back().c_per_m;
        rim.heights_m = {1 / std::hypot(b.x_m + c.x_m, b.y_m + c.y_m), 1 / std::hypot(b.x_m, b.y_m),
                         1 / std::hypot(c.x_m, c.y_m)};
        rims_.push_back(rim);
    }
    mark_hull(triangles);
    lay_grid();
}

Tin::Face Tin::face_of(const Point3& a, const Point3& b, const Point3& c)
{
    const double bx = b.x_m - a.x_m;
    const double by = b.y_m - a.y_m;
    const double cx = c.x_m - a.x_m;
    const double cy = c.y_m - a.y_m;
    const double twice_area = bx * cy - by * cx;
    return {.a = flat(a),
            .elev_m = a.elev_m,
            .b_per_m = {.x_m = cy / twice_area, .y_m = -cx / twice_area},
            .c_per_m = {.x_m = -by / twice_area, .y_m = bx / twice_area},
            .rise_b_m = b.elev_m - a.elev_m,
            .rise_c_m = c.elev_m - a.elev_m};
}

Tin::Weights Tin::weights(const Face& face, const Point& local)
{
    const double dx = local.x_m - face.a.x_m;
    const double dy = local.y_m - face.a.y_m;
    const double b = dx * face.b_per_m.x_m + dy * face.b_per_m.y_m;
    const double c = dx * face.c_per_m.x_m + dy * face.c_per_m.y_m;
    return {1 - b - c, b, c};
}

double Tin::elev_at_m(const Face& face, const Weights& share)
{
    return face.elev_m + share[1] * face.rise_b_m + share[2] * face.rise_c_m;
}

void Tin::mark_hull(std::span<const Triangle> triangles)
{
    std::vector<std::array<int, 2>> edges;
    for (const auto& t : triangles) {
        edges.insert(edges.end(), {{t[0], t[1]}, {t[1], t[2]}, {t[2], t[0]}});
    }
    std::sort(edges.begin(), edges.end());
    for (std::size_t f = 0; f < triangles.size(); ++f) {
        for (std::size_t i = 0; i < 3; ++i) {
            const std::size_t from = (i + 1) % 3;
            const std::size_t to = (i + 2) % 3;
            const std::array<int, 2> reverse{triangles[f][to], triangles[f][from]};
            if (!std::binary_search(edges.begin(), edges.end(), reverse)) {
                rims_[f].facing_hull[i] = true;
            }
        }
    }
}

void Tin::lay_grid()
{
    std::vector<Point> corners;
    for (const auto& rim : rims_) {
        corners.insert(corners.end(), rim.corners.begin(), rim.corners.end());
    }
    box_ = grown(bounds(corners), cell_slack_m);
    const double width = box_.max_x_m - box_.min_x_m;
    const double height = box_.max_y_m - box_.min_y_m;
    const double cells = cells_per_face * static_cast<double>(faces_.size());
    // The second bound keeps a long thin site from having more cells along it than faces.
    cell_m_ = std::max(std::sqrt(width * height / cells), std::max(width, height) / cells);
    cols_ = static_cast<std::int64_t>(width / cell_m_) + 1;
    rows_ = static_cast<std::int64_t>(height / cell_m_) + 1;
    std::vector<std::pair<std::int64_t, std::int32_t>> held;
    for (std::size_t f = 0; f < rims_.size(); ++f) {
        const Box box = bounds(rims_[f].corners);
        const auto cell_of = [&](double value, double least) {
            return static_cast<std::int64_t>((value - least) / cell_m_);
        };
        const auto last_col = cell_of(box.max_x_m + cell_slack_m, box_.min_x_m);
        const auto last_row = cell_of(box.max_y_m + cell_slack_m, box_.min_y_m);
        for (auto row = cell_of(box.min_y_m - cell_slack_m, box_.min_y_m); row <= std::min(last_row, rows_ - 1);
             ++row) {
            for (auto col = cell_of(box.min_x_m - cell_slack_m, box_.min_x_m); col <= std::min(last_col, cols_ - 1);
                 ++col) {
                const double x = box_.min_x_m + static_cast<double>(col) * cell_m_;
                const double y = box_.min_y_m + static_cast<double>(row) * cell_m_;
                const Box cell{.min_x_m = x, .min_y_m = y, .max_x_m = x + cell_m_, .max_y_m = y + cell_m_};
                if (touches(f, cell)) {
                    held.emplace_back(row * cols_ + col, static_cast<std::int32_t>(f));
                }
            }
        }
    }
    std::sort(held.begin(), held.end());
    cell_start_.assign(at(cols_ * rows_ + 1), 0);
    for (const auto& [cell, face] : held) {
        ++cell_start_[at(cell + 1)];
        cell_faces_.push_back(face);
    }
    for (std::size_t i = 1; i < cell_start_.size(); ++i) {
        cell_start_[i] += cell_start_[i - 1];
    }
}

/// False only when the whole cell lies beyond one edge of the face.
bool Tin::touches(std::size_t face, const Box& cell) const
{
    const Face& f = faces_[face];
    const Point middle{.x_m = (cell.min_x_m + cell.max_x_m) / 2, .y_m = (cell.min_y_m + cell.max_y_m) / 2};
    const double half = cell_m_ / 2 + cell_slack_m;
    const Weights share = weights(f, middle);
    const auto most = [&](double weight, double x_per_m, double y_per_m) {
        return weight + half * (std::abs(x_per_m) + std::abs(y_per_m));
    };
    return most(share[0], f.b_per_m.x_m + f.c_per_m.x_m, f.b_per_m.y_m + f.c_per_m.y_m) >= 0 &&
           most(share[1], f.b_per_m.x_m, f.b_per_m.y_m) >= 0 && most(share[2], f.c_per_m.x_m, f.c_per_m.y_m) >= 0;
}

std::span<const std::int32_t> Tin::faces_in(std::int64_t col, std::int64_t row) const
{
    const auto cell = at(row * cols_ + col);
    return std::span(cell_faces_).subspan(at(cell_start_[cell]), at(cell_start_[cell + 1] - cell_start_[cell]));
}

std::optional<double> Tin::elev_m(const Point& p, double edge_m) const
{
    const Point local = minus_origin(p, origin_);
    const double col = (local.x_m - box_.min_x_m) / cell_m_;
    const double row = (local.y_m - box_.min_y_m) / cell_m_;
    const bool on_grid = col >= 0 && row >= 0 && col < static_cast<double>(cols_) && row < static_cast<double>(rows_);
    if (!on_grid) {
        return std::nullopt;
    }
    for (const auto face : faces_in(static_cast<std::int64_t>(col), static_cast<std::int64_t>(row))) {
        const Weights share = weights(faces_[at(face)], local);
        if (std::min({share[0], share[1], share[2]}) >= -weight_rounding) {
            return elev_at_m(faces_[at(face)], share);
        }
    }
    return elev_beside_m(local, static_cast<std::int64_t>(col), static_cast<std::int64_t>(row), edge_m);
}

/// The elevation at the nearest place of the surface, if that is within the tolerance.
std::optional<double> Tin::elev_beside_m(const Point& local, std::int64_t col, std::int64_t row, double edge_m) const
{
    double nearest = edge_m;
    std::optional<double> elev;
    for (const auto face : faces_in(col, row)) {
        const auto& corners = rims_[at(face)].corners;
        for (std::size_t i = 0; i < 3; ++i) {
            const Point& from = corners[i];
            const Point& to = corners[(i + 1) % 3];
            const double away = distance_m(local, from, to);
            if (away <= nearest) {
                nearest = away;
                const Point on_edge = point_at({from, to}, station_of({from, to}, local));
                elev = elev_at_m(faces_[at(face)], weights(faces_[at(face)], on_edge));
            }
        }
    }
    return elev;
}

std::vector<std::int32_t> Tin::faces_along(const Point& a, const Point& b) const
{
    std::vector<std::int32_t> faces;
    const auto clamped = [&](double value, double least, std::int64_t count) {
        return static_cast<std::int64_t>(
            std::clamp(std::floor((value - least) / cell_m_), 0.0, static_cast<double>(count - 1)));
    };
    const double low = std::min(a.y_m, b.y_m);
    const double high = std::max(a.y_m, b.y_m);
    const auto x_at = [&](double y) {
        return high > low ? a.x_m + (b.x_m - a.x_m) * std::clamp((y - a.y_m) / (b.y_m - a.y_m), 0.0, 1.0) : a.x_m;
    };
    const auto last_row = clamped(high + cell_slack_m, box_.min_y_m, rows_);
    for (auto row = clamped(low - cell_slack_m, box_.min_y_m, rows_); row <= last_row; ++row) {
        const double bottom = box_.min_y_m + static_cast<double>(row) * cell_m_ - cell_slack_m;
        const double x0 = high - low > cell_m_ ? x_at(bottom) : a.x_m;
        const double x1 = high - low > cell_m_ ? x_at(bottom + cell_m_ + 2 * cell_slack_m) : b.x_m;
        const auto last_col = clamped(std::max(x0, x1) + cell_slack_m, box_.min_x_m, cols_);
        for (auto col = clamped(std::min(x0, x1) - cell_slack_m, box_.min_x_m, cols_); col <= last_col; ++col) {
            const auto here = faces_in(col, row);
            faces.insert(faces.end(), here.begin(), here.end());
        }
    }
    std::sort(faces.begin(), faces.end());
    faces.erase(std::unique(faces.begin(), faces.end()), faces.end());
    return faces;
}

/// The stretch of a run inside one face. A run along an edge, up to rounding, belongs to both its faces;
/// a hull edge gives way by the edge tolerance.
std::optional<Interval> Tin::inside(std::int32_t face, const Point& a, const Point& b, double run_m) const
{
    const Weights start = weights(faces_[at(face)], a);
    const Weights end = weights(faces_[at(face)], b);
    double from = 0;
    double to = 1;
    for (std::size_t i = 0; i < 3; ++i) {
        const Rim& rim = rims_[at(face)];
        const double give = rim.facing_hull[i] ? on_edge_m : 0;
        const double first = start[i] * rim.heights_m[i] + give;
        const double last = end[i] * rim.heights_m[i] + give;
        if (std::max(std::abs(first), std::abs(last)) <= along_edge_m || (first >= 0 && last >= 0)) {
            continue;
        }
        if (first <= 0 && last <= 0) {
            return std::nullopt;
        }
        const double cut = first / (first - last);
        (first < 0 ? from : to) = first < 0 ? std::max(from, cut) : std::min(to, cut);
    }
    return from <= to ? std::optional(Interval{from * run_m, to * run_m}) : std::nullopt;
}

std::optional<std::vector<double>> Tin::breaks_m(const Point& a, const Point& b) const
{
    const Point start = minus_origin(a, origin_);
    const Point end = minus_origin(b, origin_);
    const double length = distance_m(start, end);
    std::vector<Interval> spans;
    std::vector<double> breaks;
    for (const auto face : faces_along(start, end)) {
        if (const auto span = inside(face, start, end, length)) {
            spans.push_back(*span);
            breaks.push_back(span->from_m);
            breaks.push_back(span->to_m);
        }
    }
    if (!covers(std::move(spans), length)) {
        return std::nullopt;
    }
    return distinct_breaks(std::move(breaks), length);
}

} // namespace trenchwright
