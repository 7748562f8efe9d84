#include "trenchwright/route/orientation.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace trenchwright {

namespace {

/// Lattices closer than this in direction find the same trench.
constexpr double same_rad = 2 * std::numbers::pi / 180;

/// A street line or swale is searched this far beyond our lot.
constexpr double beyond_lot_m = 10;

std::optional<double> longest_edge_rad(const std::vector<Polyline>& lines)
{
    double longest = 0;
    std::optional<double> angle;
    for (const auto& line : lines) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            const double length = distance_m(line[i - 1], line[i]);
            if (length > longest) {
                longest = length;
                angle = direction_rad(line[i - 1], line[i]);
            }
        }
    }
    return angle;
}

std::vector<Polyline> rings(const std::vector<Polygon>& areas)
{
    std::vector<Polyline> lines;
    for (const auto& area : areas) {
        lines.push_back(closed(area.outer));
    }
    return lines;
}

std::vector<Polyline> street_lines(const Site& site)
{
    std::vector<Polyline> lines;
    for (const auto& outlet : site.outlets) {
        if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
            lines.push_back(*line);
        }
    }
    return lines.empty() ? rings(site.right_of_way) : lines;
}

void add_place(std::vector<Point>& extent, const Outlet& outlet, const Box& near)
{
    const auto add = [&](const Point& p) {
        if (overlap(near, {.min_x_m = p.x_m, .min_y_m = p.y_m, .max_x_m = p.x_m, .max_y_m = p.y_m})) {
            extent.push_back(p);
        }
    };
    if (const auto* p = std::get_if<Point>(&outlet.place)) {
        extent.push_back(*p);
    } else if (const auto* area = std::get_if<Polygon>(&outlet.place)) {
        extent.insert(extent.end(), area->outer.begin(), area->outer.end());
    } else {
        const auto& line = std::get<Polyline>(outlet.place);
        const double length = length_m(line);
        for (double s = 0; s < length; s += 1) {
            add(point_at(line, s));
        }
        add(line.back());
    }
}

} // namespace

std::vector<double> site_orientations_rad(const Site& site)
{
    std::vector<double> angles;
    auto wall = longest_edge_rad(rings(site.foundations));
    angles.push_back(wall.value_or(longest_edge_rad(rings(site.parcel)).value_or(0)));
    const auto street = longest_edge_rad(street_lines(site));
    if (street && is_new_orientation(*street, angles)) {
        angles.push_back(*street);
    }
    return angles;
}

bool is_new_orientation(double angle_rad, std::span<const double> used)
{
    return std::none_of(used.begin(), used.end(), [&](double other) {
        return std::abs(std::remainder(angle_rad - other, std::numbers::pi / 4)) < same_rad;
    });
}

std::vector<Point> search_extent(const Site& site)
{
    std::vector<Point> extent;
    for (const auto& area : site.parcel) {
        extent.insert(extent.end(), area.outer.begin(), area.outer.end());
    }
    for (const auto& source : site.sources) {
        extent.push_back(source.at);
    }
    const Box near = grown(bounds(extent), beyond_lot_m);
    for (const auto& outlet : site.outlets) {
        add_place(extent, outlet, near);
    }
    return extent;
}

} // namespace trenchwright
