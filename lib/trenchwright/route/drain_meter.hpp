#pragma once

#include "trenchwright/route/drain.hpp"
#include "trenchwright/route/straighten.hpp"
#include "trenchwright/route/true_line.hpp"

#include <deque>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace trenchwright {

/// Whether some trench joins source's trench at a vertex.
bool joined_at(const DrainLine& line, std::size_t source, std::size_t vertex);

/// A whole drain laid as high as it may be.
struct DrainCost {
    double price = 0;
    double missing_m = 0;            ///< > 0: it falls short by this, or a cut is too deep by this
    int faults = 0;                  ///< runs, bends and junctions that break a rule
    std::vector<double> ends_elev_m; ///< per source: invert at the lower end of its trench
    [[nodiscard]] bool works() const { return faults == 0 && !(missing_m > 0); }
};

/// Measures drains to one outlet; remembers the runs it has measured. Not for several threads.
class DrainMeter {
  public:
    DrainMeter(const Site& site, const Ground& ground, const std::vector<Obstacle>& all,
               std::span<const Source> sources, const Outlet& outlet, const RouteRules& rules, const DrainRules& drain);

    /// @param max_faults  a drain that breaks more rules is not measured further: its faults exceed this, and no other
    ///                     figure of it holds
    /// @param max_price  likewise: its price is not below this
    DrainCost cost(const DrainLine& line, int max_faults = std::numeric_limits<int>::max(),
                   double max_price = std::numeric_limits<double>::infinity());
    /// Of one source, for the ways in and out of a lattice.
    TrueLine& meter(std::size_t source) { return meters_[source]; }

  private:
    double lay_elev_m(const DrainLine& line, std::size_t source, int max_faults, DrainCost& total);
    void check_bends(const DrainLine& line, std::size_t source, DrainCost& total);
    void check_junction(const DrainLine& line, std::size_t source, DrainCost& total) const;

    const Site& site_;
    std::span<const Source> sources_;
    const RouteRules& rules_;
    const DrainRules& drain_;
    RouteRules pressure_;
    double least_per_m_;
    std::deque<TrueLine> meters_; ///< per source
};

/// A drain and its cost on true geometry.
struct PricedDrain {
    DrainLine line;
    DrainCost cost;
};

/// Makes a drain cheaper on true geometry: vertices and junctions moved, bends cut, the end slid along its outlet,
/// until nothing helps. Never dearer than what it was given, and works whenever that worked.
PricedDrain straightened(DrainMeter& meter, PricedDrain drain, const EndFinder& end_near);

} // namespace trenchwright
