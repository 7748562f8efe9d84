#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/geom/triangulation.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// A point this far outside the surveyed area counts as on its edge: coordinates that went through a
/// change of frame come back with rounding of about this size.
inline constexpr double on_edge_m = 1e-7;

/// Triangles made ready for fast look-up of elevations. Every const member may be called from several threads.
class Tin {
  public:
    Tin(std::span<const Point3> points, std::span<const Triangle> triangles);

    /// Linear in the triangle that holds p. Nothing farther than `edge_m` outside.
    [[nodiscard]] std::optional<double> elev_m(const Point& p, double edge_m = on_edge_m) const;

    /// Distances from a along a-b at which triangle edges are crossed, with 0 and the length;
    /// nothing when any part has no ground.
    [[nodiscard]] std::optional<std::vector<double>> breaks_m(const Point& a, const Point& b) const;

  private:
    /// The three corners' weights are linear in place: b, c by their gradient from corner a, a the rest.
    struct Face {
        Point a;
        double elev_m = 0;
        Point b_per_m;
        Point c_per_m;
        double rise_b_m = 0;
        double rise_c_m = 0;
    };
    /// What only crossings and places beside the surface need.
    struct Rim {
        std::array<Point, 3> corners;
        std::array<double, 3> heights_m{}; ///< of each corner over the edge facing it
        std::array<bool, 3> facing_hull{};
    };
    using Weights = std::array<double, 3>;

    static Face face_of(const Point3& a, const Point3& b, const Point3& c);
    static Weights weights(const Face& face, const Point& local);
    static double elev_at_m(const Face& face, const Weights& share);

    void mark_hull(std::span<const Triangle> triangles);
    void lay_grid();
    [[nodiscard]] bool touches(std::size_t face, const Box& cell) const;
    [[nodiscard]] std::span<const std::int32_t> faces_in(std::int64_t col, std::int64_t row) const;
    [[nodiscard]] std::optional<double> elev_beside_m(const Point& local, std::int64_t col, std::int64_t row,
                                                      double edge_m) const;
    [[nodiscard]] std::vector<std::int32_t> faces_along(const Point& a, const Point& b) const;
    [[nodiscard]] std::optional<Interval> inside(std::int32_t face, const Point& a, const Point& b, double run_m) const;

    Point origin_;
    std::vector<Face> faces_;
    std::vector<Rim> rims_;
    Box box_; ///< about origin_, grown
    double cell_m_ = 1;
    std::int64_t cols_ = 1;
    std::int64_t rows_ = 1;
    std::vector<std::int32_t> cell_start_;
    std::vector<std::int32_t> cell_faces_;
};

} // namespace trenchwright
