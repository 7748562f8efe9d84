#include "trenchwright/ground/margin.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <unordered_map>

namespace trenchwright {

namespace {

/// A fan's sides: seen from its corner each takes at most this, so that its middle lies 0.3 % inside its ends.
constexpr double max_side_rad = std::numbers::pi / 20;
/// A corner that turns less is none: its two edges share what lies beside it.
constexpr double no_corner_rad = 1e-6;

/// Lays the margin edge by edge, counter-clockwise.
class MarginLayer {
  public:
    MarginLayer(Surface& surface, double reach_m) : surface_(surface), reach_m_(reach_m) {}

    void lay(const std::vector<int>& ring)
    {
        const std::size_t count = ring.size();
        std::vector<std::array<int, 2>> outer(count); // beside the lower and the upper end of each edge
        for (std::size_t i = 0; i < count; ++i) {
            const double out_rad = outward_rad(ring[i], ring[(i + 1) % count]);
            outer[i] = {beside(ring[i], out_rad, reach_m_), beside(ring[(i + 1) % count], out_rad, reach_m_)};
        }
        for (std::size_t i = 0; i < count; ++i) {
            const int at = ring[(i + 1) % count];
            const double out_rad = outward_rad(ring[i], at);
            const double turn_rad = turned(out_rad, outward_rad(at, ring[(i + 2) % count]));
            auto& next = outer[(i + 1) % count][0];
            if (turn_rad > no_corner_rad) {
                fan(at, out_rad, turn_rad, outer[i][1], next);
            } else if (i + 1 < count) {
                next = outer[i][1];
            }
        }
        for (std::size_t i = 0; i < count; ++i) {
            surface_.triangles.push_back({ring[i], outer[i][0], outer[i][1]});
            surface_.triangles.push_back({ring[i], outer[i][1], ring[(i + 1) % count]});
        }
    }

  private:
    [[nodiscard]] const Point3& at(int i) const { return surface_.points[static_cast<std::size_t>(i)]; }

    [[nodiscard]] double outward_rad(int from, int to) const
    {
        return std::atan2(at(to).y_m - at(from).y_m, at(to).x_m - at(from).x_m) - std::numbers::pi / 2;
    }
    /// Between -pi and pi.
    static double turned(double from_rad, double to_rad)
    {
        return std::remainder(to_rad - from_rad, 2 * std::numbers::pi);
    }
    int beside(int corner, double direction_rad, double away_m)
    {
        const Point3 c = at(corner);
        surface_.points.push_back({.x_m = c.x_m + away_m * std::cos(direction_rad),
                                   .y_m = c.y_m + away_m * std::sin(direction_rad),
                                   .elev_m = c.elev_m});
        return static_cast<int>(surface_.points.size()) - 1;
    }
    void fan(int corner, double from_rad, double turn_rad, int first, int last)
    {
        const int sides = std::max(1, static_cast<int>(std::ceil(turn_rad / max_side_rad)));
        const double side_rad = turn_rad / sides;
        int before = first;
        for (int i = 0; i < sides; ++i) { // around the circle, so that no side cuts into it
            const int next = beside(corner, from_rad + (i + 0.5) * side_rad, reach_m_ / std::cos(side_rad / 2));
            surface_.triangles.push_back({corner, before, next});
            before = next;
        }
        surface_.triangles.push_back({corner, before, last});
    }

    Surface& surface_;
    double reach_m_;
};

/// The edges end to end. Every hull is one ring; what closes before all edges are used would be a broken surface.
std::vector<int> ring_of(const std::vector<std::array<int, 2>>& edges)
{
    std::unordered_map<int, int> next;
    for (const auto& [from, to] : edges) {
        next[from] = to;
    }
    std::vector<int> ring{edges.front()[0]};
    for (int at = next[ring.front()]; at != ring.front() && ring.size() < edges.size(); at = next[at]) {
        ring.push_back(at);
    }
    return ring;
}

} // namespace

std::vector<std::array<int, 2>> hull_edges(std::span<const Triangle> triangles)
{
    std::vector<std::array<int, 2>> edges;
    for (const auto& t : triangles) {
        edges.insert(edges.end(), {{t[0], t[1]}, {t[1], t[2]}, {t[2], t[0]}});
    }
    std::sort(edges.begin(), edges.end());
    std::vector<std::array<int, 2>> hull;
    std::copy_if(edges.begin(), edges.end(), std::back_inserter(hull), [&](const auto& edge) {
        return !std::binary_search(edges.begin(), edges.end(), std::array{edge[1], edge[0]});
    });
    return hull;
}

Surface with_margin(Surface surface, double reach_m)
{
    MarginLayer(surface, reach_m).lay(ring_of(hull_edges(surface.triangles)));
    return surface;
}

} // namespace trenchwright
