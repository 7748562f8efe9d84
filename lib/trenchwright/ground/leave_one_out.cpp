#include "trenchwright/ground/leave_one_out.hpp"

#include "trenchwright/ground/tin.hpp"

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

/// The neighbors of a point; none when it lies on the hull, where its facing edges form no closed ring.
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
    std::vector<Point3> neighbors;
    std::vector<Point> places;
    for (const int i : ring) {
        neighbors.push_back(points[static_cast<std::size_t>(i)]);
        places.push_back(flat(neighbors.back()));
    }
    const auto triangles = delaunay(places);
    return triangles.empty() ? std::nullopt : Tin(neighbors, triangles).elev_m(flat(point));
}

std::optional<LeftOut> spot_without(std::size_t spot, std::span<const Point3> points, const std::vector<int>& ring)
{
    std::vector<Point> places;
    for (const int i : ring) {
        places.push_back(flat(points[static_cast<std::size_t>(i)]));
    }
    std::optional<LeftOut> best;
    double best_least = -1e-9; // a spot on an edge of the others
    for (const auto& t : delaunay(places)) {
        const auto at = [&](std::size_t i) { return static_cast<std::size_t>(t.at(i)); };
        const auto shares = shares_in(flat(points[spot]), places[at(0)], places[at(1)], places[at(2)]);
        if (const double least = std::min({shares[0], shares[1], shares[2]}); least > best_least) {
            best_least = least;
            best = LeftOut{.spot = spot, .corners = {ring[at(0)], ring[at(1)], ring[at(2)]}, .shares = shares};
        }
    }
    if (best) {
        best->error_m = points[spot].elev_m;
        for (std::size_t i = 0; i < 3; ++i) {
            best->error_m -= best->shares.at(i) * points[static_cast<std::size_t>(best->corners.at(i))].elev_m;
        }
    }
    return best;
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

std::array<double, 3> shares_in(const Point& place, const Point& a, const Point& b, const Point& c)
{
    const auto doubled_m2 = [](const Point& p, const Point& q, const Point& r) {
        return (q.x_m - p.x_m) * (r.y_m - p.y_m) - (r.x_m - p.x_m) * (q.y_m - p.y_m);
    };
    const double whole = doubled_m2(a, b, c);
    return {doubled_m2(place, b, c) / whole, doubled_m2(a, place, c) / whole, doubled_m2(a, b, place) / whole};
}

std::vector<LeftOut> left_out(std::span<const Point3> points, std::span<const GroundTriangle> triangles,
                              const std::vector<bool>& chosen)
{
    const auto facing = facing_edges(points.size(), triangles);
    std::vector<LeftOut> spots;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto ring = chosen[i] ? ring_of(facing[i]) : std::vector<int>{};
        if (auto spot = ring.empty() ? std::nullopt : spot_without(i, points, ring)) {
            spots.push_back(*spot);
        }
    }
    return spots;
}

} // namespace trenchwright
