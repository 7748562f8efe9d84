#include "trenchwright/dig/wall_core.hpp"

#include "trenchwright/geom/measure.hpp"

#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double min_corner_rad = std::numbers::pi / 180;

bool anticlockwise(const Ring& ring)
{
    double twice_area_m2 = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        // From the first point: native coordinates are far larger than a house.
        const Point a{ring[i].x_m - ring[0].x_m, ring[i].y_m - ring[0].y_m};
        const auto& next = ring[(i + 1) % ring.size()];
        const Point b{next.x_m - ring[0].x_m, next.y_m - ring[0].y_m};
        twice_area_m2 += a.x_m * b.y_m - b.x_m * a.y_m;
    }
    return twice_area_m2 > 0;
}

/// An outline walked so that the house lies to the left: as seen from outside, what comes first is to the left.
struct Outline {
    Ring ring;
};

std::vector<Outline> outlines_of(const std::vector<Polygon>& foundations)
{
    std::vector<Outline> outlines;
    const auto add = [&](const Ring& ring, bool house_inside) {
        outlines.push_back({ring});
        if (anticlockwise(ring) != house_inside) {
            outlines.back().ring.assign(ring.rbegin(), ring.rend());
        }
    };
    for (const auto& house : foundations) {
        add(house.outer, true);
        for (const auto& yard : house.holes) {
            add(yard, false);
        }
    }
    return outlines;
}

bool is_corner(const Ring& ring, std::size_t i)
{
    const auto n = ring.size();
    return turn_rad(ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]) > min_corner_rad;
}

/// The next corner from vertex `i` on, in steps of +1 or of n - 1 (backward), and the way to it along the wall.
std::optional<std::pair<std::size_t, double>> corner_from(const Ring& ring, std::size_t i, std::size_t step)
{
    double way_m = 0;
    for (std::size_t tried = 0; tried < ring.size(); ++tried) {
        if (is_corner(ring, i)) {
            return std::pair(i, way_m);
        }
        const auto next = (i + step) % ring.size();
        way_m += distance_m(ring[i], ring[next]);
        i = next;
    }
    return std::nullopt;
}

std::optional<WallPlace> place_on(const Ring& ring, std::size_t edge, const Point& at)
{
    const auto n = ring.size();
    const auto end = (edge + 1) % n;
    const Polyline wall{ring[edge], ring[end]};
    const double along_m = station_of(wall, at);
    const auto left = corner_from(ring, edge, n - 1);
    const auto right = corner_from(ring, end, 1);
    if (!left || !right || left->first == right->first) {
        return std::nullopt;
    }
    const Point on_wall = point_at(wall, along_m);
    return WallPlace{.at = on_wall,
                     .off_wall_m = distance_m(on_wall, at),
                     .left_corner = ring[left->first],
                     .right_corner = ring[right->first],
                     .to_left_m = left->second + along_m,
                     .to_right_m = right->second + distance_m(ring[edge], ring[end]) - along_m};
}

} // namespace

bool passes_wall(const Source& source)
{
    return source.kind == SourceKind::pump || source.water == Water::sump;
}

std::optional<WallPlace> wall_place(const std::vector<Polygon>& foundations, const Point& at)
{
    double nearest_m = std::numeric_limits<double>::infinity();
    std::optional<WallPlace> place;
    for (const auto& [ring] : outlines_of(foundations)) {
        for (std::size_t edge = 0; edge < ring.size(); ++edge) {
            const double away_m = distance_m(at, ring[edge], ring[(edge + 1) % ring.size()]);
            if (away_m < nearest_m) {
                nearest_m = away_m;
                place = place_on(ring, edge, at);
            }
        }
    }
    return place;
}

WallCore wall_core(const Site& site, const Source& source, const TrenchSection& section, double laid_invert_elev_m,
                   double ground_elev_m, std::optional<double> floor_elev_m)
{
    WallCore core;
    core.stated = source.highest_invert_elev_m.has_value();
    core.invert_elev_m = source.highest_invert_elev_m.value_or(laid_invert_elev_m);
    core.center_elev_m = core.invert_elev_m - section.wall_m + section.outside_diameter_m / 2;
    if (floor_elev_m) {
        core.above_floor_m = core.center_elev_m - *floor_elev_m;
    }
    core.above_ground_m = core.center_elev_m - ground_elev_m;
    core.elbow_depth_m = ground_elev_m - laid_invert_elev_m;
    core.drop_m = core.invert_elev_m - laid_invert_elev_m;
    core.place = wall_place(site.foundations, source.at);
    return core;
}

} // namespace trenchwright
