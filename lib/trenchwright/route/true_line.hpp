#pragma once

#include "trenchwright/route/along_marks.hpp"
#include "trenchwright/route/obstacles.hpp"
#include "trenchwright/route/route.hpp"

#include <limits>
#include <optional>
#include <unordered_map>
#include <vector>

namespace trenchwright {

/// A short piece of a run: ground straight, cover, surface and method the same throughout.
struct TruePiece {
    double length_m = 0;
    double upper_ground_elev_m = 0;
    double lower_ground_elev_m = 0;
    double min_cover_m = 0;
    double dig_price = 0; ///< money for the piece per meter of mean cut
    double lowest_invert_elev_m = -std::numeric_limits<double>::infinity(); ///< by the footing's wedge
};

/// One straight run measured on true geometry.
struct TrueRun {
    std::optional<RouteFault> fault;
    std::vector<TruePiece> pieces; ///< from its upper end down; empty when there is a fault
    double flat_price = 0;         ///< everything that does not depend on depth; running along marks by its heading
    std::vector<NearPiece> beside = {}; ///< where it is near to a mark
    bool near_lot_edge = false;         ///< its lower end is
    double along_m = 0;                 ///< of that, what runs along one by this run's heading alone
};

/// A run laid as high as it may be.
struct Descent {
    double price = 0;
    double invert_elev_m = 0; ///< at its lower end
    double too_deep_m = 0;    ///< beyond the deepest cut or a footing's wedge; 0 or less: nowhere
};
/// The invert falls at the least fall, or with the cover where that is lower; exact for straight ground.
/// @param invert_elev_m           highest at the upper end
/// @param highest_lower_elev_m    at the lower end, in place of what the cover leaves there
Descent descend(const TrueRun& run, double invert_elev_m, const RouteRules& rules,
                std::optional<double> highest_lower_elev_m);

/// What a whole line runs along marks beyond what the prices of its runs hold: where a line bends inside a mark's zone,
/// only the whole tells a crossing from running along.
class BesideMarks {
  public:
    /// The next run of the line.
    void add(const TrueRun& run, double length_m);
    [[nodiscard]] double price(const Site& site, const RouteRules& rules);

  private:
    std::vector<NearPiece> pieces_;
    double length_m_ = 0;
    double by_heading_m_ = 0;
};

/// What a whole line costs laid as high as it may be, and whether it drains.
struct TrueCost {
    double price = 0;
    double missing_m = 0; ///< > 0: it falls short by this, or a cut is too deep by this
    std::optional<RouteFault> fault;
    [[nodiscard]] bool works() const { return !fault && !(missing_m > 0); }
};

/// No trench costs less by length, wherever it lies: the cheapest ground to put back, dug by the cheaper way at the
/// least cut.
double least_price_per_m(const RouteRules& rules);

struct RunHash {
    std::size_t operator()(const Run& run) const;
};

/// Measures lines of one source and outlet; remembers the runs it has measured. Not for several threads.
///
/// Lines run downstream here: from the source to the outlet.
class TrueLine {
  public:
    TrueLine(const Site& site, const Ground& ground, const std::vector<Obstacle>& all, const Source& source,
             const Outlet& outlet, const RouteRules& rules)
        : site_(site), ground_(ground), obstacles_(all), source_(source), outlet_(outlet), rules_(rules),
          least_per_m_(least_price_per_m(rules))
    {
    }

    const TrueRun& run(const Run& run);

    /// The lot's edge that the trench's outer corner passes at a bend, or nothing.
    [[nodiscard]] std::optional<RouteFault> corner(const Point& before, const Point& bend, const Point& after)
    {
        const bool near = run({.upper = before, .lower = bend, .to_end = false}).near_lot_edge;
        return near ? corner_fault(before, bend, after, obstacles_, rules_) : std::nullopt;
    }

    /// Price at the shallowest inverts (the search's own recursion on true geometry), with bends and fall checked.
    /// @param max_price  a line that cannot be cheaper is not measured further: its price is not below this, and no
    /// other
    ///               figure of it holds
    TrueCost cost(const Polyline& downstream, const EndPoint& end,
                  double max_price = std::numeric_limits<double>::infinity());

  private:
    [[nodiscard]] TrueRun measured(const Run& run) const;
    void forget_many();
    void keep_wedge(const Polyline& line, std::vector<TruePiece>& pieces) const;

    const Site& site_;
    const Ground& ground_;
    const std::vector<Obstacle>& obstacles_;
    const Source& source_;
    const Outlet& outlet_;
    const RouteRules& rules_;
    double least_per_m_;
    std::unordered_map<Run, TrueRun, RunHash> runs_;
};

} // namespace trenchwright
