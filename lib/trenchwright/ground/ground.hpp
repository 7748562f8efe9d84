#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/geom/shapes.hpp"

#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// Height along a line as Ground::along gives it, straight between its points and level beyond its ends.
/// @param ground  by rising station, not empty
double elev_along_m(std::span<const GroundPoint> ground, double station_m);

/// A triangle of the ground by indices into Ground::points().
struct GroundTriangle {
    int a = 0;
    int b = 0;
    int c = 0;
};

/// The ground surface: Delaunay triangles over spots with breaklines, or a DEM read bilinearly between cell centers.
///
/// Never extrapolates: outside the hull (or beside missing cells) there is no elevation, but for the edge's reach:
/// so far out the ground is as high as the nearest place of its edge. A point up to on_edge_m (tin.hpp, 1e-7 m)
/// outside counts as on the hull. Look-up takes some tens of nanoseconds and every const member may be called from
/// several threads.
class Ground {
  public:
    /// Triangles whose edges include every breakline, which is split until it does.
    /// @param spots       at least three, not in one line; of two elevations at one place the first counts
    ///                    and a finding names both
    /// @param breaklines  may be empty; their points count as spots; elevation runs straight between them;
    ///                    how they are split, and all tolerances, in conform.hpp
    /// @param edge_reach_m  how far beyond the hull there is ground as high as the hull (see margin.hpp); 0: none
    /// @throws Error (input) for fewer than three places, all in one line, or NaN
    static Ground from_spots(std::span<const Point3> spots, std::span<const std::vector<Point3>> breaklines,
                             double edge_reach_m = 0);

    /// @param edge_reach_m  the same beyond the grid's own edge; not beside cells without data
    /// @throws Error (input) for a grid under 2 x 2 or a singular one
    static Ground from_raster(Raster raster, double edge_reach_m = 0);

    Ground(Ground&&) noexcept;
    Ground& operator=(Ground&&) noexcept;
    ~Ground();

    /// Linear in its triangle, or bilinear. Nothing outside.
    [[nodiscard]] std::optional<double> elev_m(const Point& p) const;

    /// The ground along a line: a point at each end, at each vertex, wherever a triangle edge is
    /// crossed (exact: the ground is linear between) and at least every `step_m` (a DEM is not linear between;
    /// there the points lie where lines of cell centers are crossed, and between).
    /// Nothing when any part of the line has no ground, or a coordinate is not finite.
    /// @param step_m  above 0; infinity for no further points
    /// @throws Error (internal) for any other step
    [[nodiscard]] std::optional<std::vector<GroundPoint>> along(const Polyline& line, double step_m) const;

    /// Distance from p to the surveyed area, whatever its edge's reach; 0 inside. To the hull or the nearest cell with
    /// data.
    [[nodiscard]] double outside_by_m(const Point& p) const;

    /// How far beyond its edge the ground has heights.
    [[nodiscard]] double edge_reach_m() const;

    /// Empty for a DEM.
    [[nodiscard]] const std::vector<Point3>& points() const;
    [[nodiscard]] const std::vector<GroundTriangle>& triangles() const;
    /// By point: measured and on no breakline, so shot for its own sake; it says how rough the ground is.
    [[nodiscard]] const std::vector<bool>& lone_spots() const;

    /// Conflicting or repeated spots, breaklines that could not be resolved.
    [[nodiscard]] const std::vector<Finding>& findings() const;

    /// Leave-one-out error of the spots: root mean square of (spot - surface without it) over spots strictly inside
    /// the hull of the others and on no breakline. Exact for any number of spots. Nothing for a DEM or with no such
    /// spot.
    [[nodiscard]] std::optional<double> leave_one_out_rms_m() const;

  private:
    struct State;
    explicit Ground(std::unique_ptr<const State> state);
    std::unique_ptr<const State> state_;
};

} // namespace trenchwright
