#include "ground/leave_one_out.hpp"

#include "ground/tin.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

/// The directed edges that face each point: a triangle a, b, c gives b-c to a.
std::vector<std::vector<std::array<int, 2>>> facing_edges(std::size_t count, std::span<const GroundTriangle> triangles)
{
    std::vector<std::vector<std::array<int, 2>>> facing(count);
    for (const auto& t : triangles) {
        facing[static_cast<std::size_t>(t.a)].push_back({t.b, t.c});
        facing[static_cast<std::size_t>(t.b)].push_back({t.c, t.a});
        facing[static_cast<std::size_t>(t.c)].push_back({t.a, t.b});
    }
    return facing;
}

/// The neighbours of a point; none when it lies on the hull, where its facing edges form no closed ring.
std::vector<int> ring_of(const std::vector<std::array<int, 2>>& facing)
{
    std::vector<int> starts;
    std::vector<int> ends;
    for (const auto& edge : facing) {
        starts.push_back(edge[0]);
        ends.push_back(edge[1]);
    }
    std::sort(starts.begin(), starts.end());
    std::sort(ends.begin(), ends.end());
    return starts == ends ? starts : std::vector<int>{};
}

std::optional<double> elev_without_m(const Point3& point, std::span<const Point3> points, const std::vector<int>& ring)
{
    std::vector<Point3> neighbours;
    std::vector<Point> places;
    for (const int i : ring) {
        neighbours.push_back(points[static_cast<std::size_t>(i)]);
        places.push_back(flat(neighbours.back()));
    }
    const auto triangles = delaunay(places);
    return triangles.empty() ? std::nullopt : Tin(neighbours, triangles).elev_m(flat(point));
}

} // namespace

std::optional<double> leave_one_out_rms_m(std::span<const Point3> points, std::span<const GroundTriangle> triangles,
                                          const std::vector<bool>& chosen)
{
    const auto facing = facing_edges(points.size(), triangles);
    double squares = 0;
    double count = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto ring = chosen[i] ? ring_of(facing[i]) : std::vector<int>{};
        const auto without = ring.empty() ? std::nullopt : elev_without_m(points[i], points, ring);
        if (without) {
            squares += (points[i].elev_m - *without) * (points[i].elev_m - *without);
            ++count;
        }
    }
    return count > 0 ? std::optional(std::sqrt(squares / count)) : std::nullopt;
}

} // namespace trenchwright
