#include "trenchwright/export/exchange/drawing_field.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

constexpr double letter_width_ratio = 0.85;
constexpr double room_ratio = 0.62; ///< half a line with its share of the space to the next

/// Places along the middle of a text, a height apart.
std::vector<Point> middle_of(const DrawingText& text, double height_m)
{
    const double length_m = letter_width_ratio * height_m * static_cast<double>(text.text.size());
    const double from_m = text.anchor == TextAnchor::middle         ? -length_m / 2
                          : text.anchor == TextAnchor::middle_right ? -length_m
                                                                    : 0;
    std::vector<Point> places;
    for (double on_m = height_m / 2; on_m < length_m; on_m += height_m) {
        places.push_back({text.at.x_m + std::cos(text.turn_rad) * (from_m + on_m),
                          text.at.y_m + std::sin(text.turn_rad) * (from_m + on_m)});
    }
    return places;
}

} // namespace

void LabelField::block(const DrawingText& text, double height_m)
{
    for (const auto& at : middle_of(text, height_m)) {
        taken_.push_back({.at = at, .radius_m = room_ratio * height_m});
    }
}

void LabelField::block(const Polyline& line, double beside_m)
{
    for (double station_m = 0; station_m <= length_m(line); station_m += beside_m) {
        taken_.push_back({.at = point_at(line, station_m), .radius_m = beside_m});
    }
}

bool LabelField::is_free_of_others(const DrawingText& text, double height_m) const
{
    return std::ranges::none_of(middle_of(text, height_m), [&](const Point& at) {
        return std::ranges::any_of(taken_, [&](const Taken& other) {
            return distance_m(at, other.at) < other.radius_m + room_ratio * height_m;
        });
    });
}

bool LabelField::is_free(const DrawingText& text, double height_m) const
{
    const auto in_building = [&](const Point& at) {
        return std::ranges::any_of(buildings_, [&](const Polygon& area) { return contains(area, at); });
    };
    return is_free_of_others(text, height_m) && std::ranges::none_of(middle_of(text, height_m), in_building);
}

} // namespace trenchwright
