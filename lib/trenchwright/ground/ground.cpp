#include "trenchwright/ground/ground.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/triangulation.hpp"
#include "trenchwright/ground/conform.hpp"
#include "trenchwright/ground/dem.hpp"
#include "trenchwright/ground/leave_one_out.hpp"
#include "trenchwright/ground/margin.hpp"
#include "trenchwright/ground/tin.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <variant>

namespace trenchwright {

namespace {

/// Places computed along a run may be off the edge by the tolerance and some rounding; the run itself was checked.
constexpr double along_slack_m = 1e-6;

bool all_finite(const Polyline& line)
{
    return std::all_of(line.begin(), line.end(),
                       [](const Point& p) { return std::isfinite(p.x_m) && std::isfinite(p.y_m); });
}

/// The breaks with further ones between, so that no gap is longer than the step.
std::vector<double> with_steps(const std::vector<double>& breaks, double step_m)
{
    std::vector<double> all{breaks.front()};
    for (std::size_t i = 1; i < breaks.size(); ++i) {
        const double gap = breaks[i] - breaks[i - 1];
        const double parts = std::max(1.0, std::ceil(gap / step_m));
        for (double part = 1; part < parts; ++part) {
            all.push_back(breaks[i - 1] + gap * (part / parts));
        }
        all.push_back(breaks[i]);
    }
    return all;
}

template <class Surface>
bool add_run(std::vector<GroundPoint>& profile, const Surface& surface, const Polyline& run, double start_m,
             double step_m)
{
    const auto breaks = surface.breaks_m(run[0], run[1]);
    if (!breaks) {
        return false;
    }
    for (const double s : with_steps(*breaks, step_m)) {
        const auto elev = surface.elev_m(point_at(run, s), along_slack_m);
        if (!elev) {
            return false;
        }
        if (profile.empty() || start_m + s > profile.back().station_m) {
            profile.push_back({.station_m = start_m + s, .elev_m = *elev});
        }
    }
    return true;
}

template <class Surface>
std::optional<std::vector<GroundPoint>> profile_along(const Surface& surface, const Polyline& line, double step_m)
{
    std::vector<GroundPoint> profile;
    double start = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        if (run > 0 && !add_run(profile, surface, {line[i - 1], line[i]}, start, step_m)) {
            return std::nullopt;
        }
        start += run;
    }
    if (!profile.empty()) {
        return profile;
    }
    const auto elev = surface.elev_m(line.front(), on_edge_m);
    return elev ? std::optional(std::vector{GroundPoint{.station_m = 0, .elev_m = *elev}}) : std::nullopt;
}

std::vector<Finding> broken_pieces(const ConformedPoints& conformed, std::span<const Triangle> triangles)
{
    std::vector<std::array<int, 2>> edges;
    for (const auto& t : triangles) {
        for (std::size_t i = 0; i < 3; ++i) {
            edges.push_back({std::min(t[i], t[(i + 1) % 3]), std::max(t[i], t[(i + 1) % 3])});
        }
    }
    std::sort(edges.begin(), edges.end());
    std::vector<Finding> findings;
    for (const auto& piece : conformed.pieces) {
        if (!std::binary_search(edges.begin(), edges.end(), piece)) {
            const Point from = flat(conformed.points[static_cast<std::size_t>(piece[0])]);
            const Point to = flat(conformed.points[static_cast<std::size_t>(piece[1])]);
            findings.push_back(
                {.severity = Severity::warning,
                 .rule = "ground.least_piece",
                 .text = "A breakline does not hold over " + depth_text(distance_m(from, to), UnitSystem::us) + " (" +
                         depth_text(distance_m(from, to), UnitSystem::metric) + "): other points lie too near to it.",
                 .at = from,
                 .station_m = {}});
        }
    }
    return findings;
}

std::vector<Triangle> triangulate(std::span<const Point3> points)
{
    if (points.size() < 3) {
        throw Error(ErrorKind::input,
                    "ground needs at least three different places, there are " + std::to_string(points.size()));
    }
    std::vector<Point> places;
    std::transform(points.begin(), points.end(), std::back_inserter(places), flat);
    auto triangles = delaunay(places);
    if (triangles.empty()) {
        throw Error(ErrorKind::input, "all " + std::to_string(points.size()) +
                                          " places of the ground lie in one line: shoot one aside of it");
    }
    return triangles;
}

using HullEdge = std::array<Point, 2>;

std::vector<HullEdge> hull_of(std::span<const Point3> points, std::span<const Triangle> triangles)
{
    std::vector<HullEdge> hull;
    for (const auto& [from, to] : hull_edges(triangles)) {
        hull.push_back({flat(points[static_cast<std::size_t>(from)]), flat(points[static_cast<std::size_t>(to)])});
    }
    return hull;
}

/// Distance to the hull, 0 inside and on it.
double outside_hull_by_m(const std::vector<HullEdge>& hull, const Point& p)
{
    const bool inside = std::all_of(hull.begin(), hull.end(),
                                    [&](const HullEdge& edge) { return turn_sign(edge[0], edge[1], p) >= 0; });
    if (inside) {
        return 0;
    }
    double nearest = std::numeric_limits<double>::infinity();
    for (const auto& edge : hull) {
        nearest = std::min(nearest, distance_m(p, edge[0], edge[1]));
    }
    return nearest <= on_edge_m ? 0 : nearest;
}

Tin tin_of(const std::vector<Point3>& points, const std::vector<Triangle>& triangles, double edge_reach_m)
{
    if (!(edge_reach_m > 0)) {
        return Tin(points, triangles);
    }
    const auto wide = with_margin({.points = points, .triangles = triangles}, edge_reach_m);
    return Tin(wide.points, wide.triangles);
}

} // namespace

struct Ground::State {
    std::variant<Tin, Dem> surface; ///< with its margin
    std::vector<HullEdge> hull;     ///< of the points; none for a DEM
    double edge_reach_m = 0;
    std::vector<Point3> points;
    std::vector<GroundTriangle> triangles;
    std::vector<bool> lone_spot;
    std::vector<Finding> findings;
};

Ground Ground::from_spots(std::span<const Point3> spots, std::span<const std::vector<Point3>> breaklines,
                          double edge_reach_m)
{
    ConformedPoints conformed = conform(spots, breaklines);
    const auto triangles = triangulate(conformed.points);
    const auto broken = broken_pieces(conformed, triangles);
    conformed.findings.insert(conformed.findings.end(), broken.begin(), broken.end());
    State state{.surface = tin_of(conformed.points, triangles, edge_reach_m),
                .hull = hull_of(conformed.points, triangles),
                .edge_reach_m = edge_reach_m,
                .points = std::move(conformed.points),
                .triangles = {},
                .lone_spot = std::move(conformed.lone_spot),
                .findings = std::move(conformed.findings)};
    for (const auto& t : triangles) {
        state.triangles.push_back({.a = t[0], .b = t[1], .c = t[2]});
    }
    return Ground(std::make_unique<const State>(std::move(state)));
}

Ground Ground::from_raster(Raster raster, double edge_reach_m)
{
    return Ground(std::make_unique<const State>(State{.surface = Dem(std::move(raster), edge_reach_m),
                                                      .hull = {},
                                                      .edge_reach_m = edge_reach_m,
                                                      .points = {},
                                                      .triangles = {},
                                                      .lone_spot = {},
                                                      .findings = {}}));
}

Ground::Ground(std::unique_ptr<const State> state) : state_(std::move(state)) {}
Ground::Ground(Ground&&) noexcept = default;
Ground& Ground::operator=(Ground&&) noexcept = default;
Ground::~Ground() = default;

std::optional<double> Ground::elev_m(const Point& p) const
{
    if (const Tin* tin = std::get_if<Tin>(&state_->surface)) {
        return tin->elev_m(p);
    }
    return std::get<Dem>(state_->surface).elev_m(p, on_edge_m);
}

std::optional<std::vector<GroundPoint>> Ground::along(const Polyline& line, double step_m) const
{
    if (!(step_m > 0)) {
        throw Error(ErrorKind::internal, "step along the ground must be above 0, not " + std::to_string(step_m) + " m");
    }
    if (line.empty() || !all_finite(line)) {
        return std::nullopt;
    }
    return std::visit([&](const auto& surface) { return profile_along(surface, line, step_m); }, state_->surface);
}

double Ground::outside_by_m(const Point& p) const
{
    const Dem* dem = std::get_if<Dem>(&state_->surface);
    return dem != nullptr ? dem->outside_by_m(p) : outside_hull_by_m(state_->hull, p);
}

double Ground::edge_reach_m() const
{
    return state_->edge_reach_m;
}

const std::vector<Point3>& Ground::points() const
{
    return state_->points;
}

const std::vector<GroundTriangle>& Ground::triangles() const
{
    return state_->triangles;
}

const std::vector<bool>& Ground::lone_spots() const
{
    return state_->lone_spot;
}

const std::vector<Finding>& Ground::findings() const
{
    return state_->findings;
}

std::optional<double> Ground::leave_one_out_rms_m() const
{
    return trenchwright::leave_one_out_rms_m(state_->points, state_->triangles, state_->lone_spot);
}

double elev_along_m(std::span<const GroundPoint> ground, double station_m)
{
    const auto after = std::ranges::lower_bound(ground, station_m, {}, &GroundPoint::station_m);
    if (after == ground.begin()) {
        return ground.front().elev_m;
    }
    if (after == ground.end()) {
        return ground.back().elev_m;
    }
    const auto& before = *(after - 1);
    const double share = (station_m - before.station_m) / (after->station_m - before.station_m);
    return before.elev_m + share * (after->elev_m - before.elev_m);
}

} // namespace trenchwright
