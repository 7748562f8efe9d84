#pragma once

#include "trenchwright/ground/ground.hpp"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// What is known of the ground's roughness before a shot is taken. Settings.
struct UncertaintyRules {
    double shot_error_m = 0;     ///< of one shot, root mean square
    double roughness_factor = 1; ///< exponent of distance in the variogram, above 0 and below 2; 1: as a random walk
    double beside_m = 0;         ///< shots no farther from a line than this must bear out the roughness
    double fit_factor = 1;       ///< by how much they may be smoother or rougher, 1 or more
    friend bool operator==(const UncertaintyRules&, const UncertaintyRules&) = default;
};

/// What the shots left out beside some lines say of the one roughness for the whole ground.
struct RoughnessCheck {
    std::size_t shots = 0;
    double missed_m = 0;   ///< root mean square, by the surface of the others
    double expected_m = 0; ///< the same by the roughness and the shots' own error
    /// Whether the ground there is so much smoother or rougher that one roughness does not serve both. Fewer than three
    /// shots say nothing, and neither does a roughness that drowns in the shots' own error.
    bool fits = true;
};

/// By how much the surface may be wrong, at places together.
///
/// The true ground is taken to differ from one place to another by a random amount whose mean square grows with their
/// distance: c times distance to the power of the roughness. The surface is straight between three shots, so its error
/// at a place is (ground there) - (weighted ground of the three), and the covariance of two such errors follows from
/// the distances among these places alone, times c. c is taken from the spots left out, whose errors are known and
/// follow the same rule; shot errors are added. No error at a shot but the shot's own.
///
/// Source: intrinsic random functions of order 0, linear variogram (textbook geostatistics, from memory); calibrated
/// on made-up ground in tests/fall_doubt_test.cpp.
class SurfaceUncertainty {
  public:
    /// Nothing for a grid, or where no chosen spot can be left out.
    /// @param chosen  for each of ground.points(): a spot that lies on no breakline
    /// The ground must outlive it.
    static std::optional<SurfaceUncertainty> of(const Ground& ground, const std::vector<bool>& chosen,
                                                const UncertaintyRules& rules);

    /// Covariance of the errors at places on the ground, row by row; m2.
    /// @throws Error (internal) for a place without ground
    [[nodiscard]] std::vector<double> covariance_m2(std::span<const Point> places) const;

    /// The spots left out that lie beside the lines, against the roughness of all.
    [[nodiscard]] RoughnessCheck beside(std::span<const Polyline> lines) const;

    /// Mean square height difference over one meter, from the spots left out.
    [[nodiscard]] double squared_rise_m2() const { return squared_rise_m2_; }

  private:
    struct Stencil {
        std::array<Point, 4> places;     ///< the place, then the corners of its triangle
        std::array<double, 4> weights{}; ///< 1, then minus the corners' shares
        std::array<int, 3> corners{};
    };
    SurfaceUncertainty(const Ground& ground, const UncertaintyRules& rules) : ground_(&ground), rules_(rules) {}
    [[nodiscard]] Stencil stencil_at(const Point& place) const;
    /// Covariance of two errors for c = 1, without shot errors.
    [[nodiscard]] double shape_m2(const Stencil& a, const Stencil& b) const;

    /// A spot left out.
    struct Missed {
        Point at;
        double by_m2 = 0;    ///< squared
        double shape_m2 = 0; ///< expected for c = 1
        double shots_m2 = 0; ///< expected from the shots' own error
    };

    const Ground* ground_;
    UncertaintyRules rules_;
    std::vector<Missed> missed_;
    double squared_rise_m2_ = 0;
};

} // namespace trenchwright
