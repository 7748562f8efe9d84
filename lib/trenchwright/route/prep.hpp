#pragma once

#include "trenchwright/route/lattice.hpp"
#include "trenchwright/route/obstacles.hpp"

#include <memory>
#include <mutex>
#include <optional>
#include <vector>

namespace trenchwright {

/// What every search on a site shares: obstacles, and lattices laid when they are first asked for, by any thread.
class RoutePrep {
  public:
    /// @param site  outlives it, like the ground
    RoutePrep(const Site& site, const Ground& ground, const RouteRules& rules);

    [[nodiscard]] const std::vector<Obstacle>& obstacles() const { return obstacles_; }

    /// One per orientation of the site, of the cells and headings that the rules ask for.
    [[nodiscard]] std::size_t lattices() const { return fine_.size(); }
    [[nodiscard]] const Lattice& lattice(std::size_t i) const { return laid(*fine_[i], rules_); }

    /// Wider cells, the other number of headings and other orientations: what they miss by width they make good by
    /// looking elsewhere. Whatever they find is judged on true geometry, and what they do not find proves nothing.
    [[nodiscard]] std::size_t coarse_lattices() const { return coarse_.size(); }
    [[nodiscard]] const Lattice& coarse_lattice(std::size_t i) const { return laid(*coarse_[i], coarse_rules_); }
    /// One more of those, along a direction, with a cell's center at a place; nothing where one of them lies so.
    [[nodiscard]] std::optional<Lattice> coarse_lattice_along(double angle_rad, const Point& center) const;

  private:
    struct Laid {
        double angle_rad = 0;
        std::once_flag once;
        std::optional<Lattice> lattice;
    };
    [[nodiscard]] const Lattice& laid(Laid& place, const RouteRules& rules) const;

    const Site& site_;
    const Ground& ground_;
    RouteRules rules_;
    RouteRules coarse_rules_;
    std::vector<Obstacle> obstacles_;
    std::vector<Point> extent_; ///< what every lattice must hold
    std::vector<std::unique_ptr<Laid>> fine_;
    std::vector<std::unique_ptr<Laid>> coarse_;
};

} // namespace trenchwright
