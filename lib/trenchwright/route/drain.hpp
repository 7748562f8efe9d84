#pragma once

#include "trenchwright/route/route.hpp"

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// What joining trenches ask for beside RouteRules.
struct DrainRules {
    double junction_angle_rad = 0;  ///< between branch and trunk, in flow direction
    double junction_price = 0;      ///< supplied and set
    double junction_rise_m = 0;     ///< the branch's invert at least this far above the trunk's
    double pressure_rise_m = 0;     ///< the same for a pump's line, which enters from above
    TrenchSection pressure_section; ///< of a pump's line
    friend bool operator==(const DrainRules&, const DrainRules&) = default;
};

/// One source's trench in a drain. Runs downstream: from the source to the outlet or to a vertex of the trench it
/// joins.
struct DrainTrench {
    Polyline downstream;
    int joins = -1;            ///< whose trench: index into the drain's sources; -1: the outlet
    std::size_t at_vertex = 0; ///< of that trench
    friend bool operator==(const DrainTrench&, const DrainTrench&) = default;
};

/// The trenches of a drain's sources to one outlet, in their order.
struct DrainLine {
    std::vector<DrainTrench> trenches;
    EndPoint end;
    friend bool operator==(const DrainLine&, const DrainLine&) = default;
};

struct PlannedDrain {
    DrainLine line;
    double cost = 0;                         ///< on true geometry
    double lattice_cost = 0;                 ///< of the cheapest lattice drain
    double lattice_bound = 0;                ///< no lattice drain is cheaper, even where no pipe lowers another
    std::vector<double> highest_ends_elev_m; ///< per source: highest invert its trench can arrive with
    long long labels = 0;
};

/// The route rules of a pump's line: its own pipe, and no fall.
RouteRules pressure_rules(const RouteRules& rules, const DrainRules& drain);

/// Plans sources to one outlet as one drain with junctions.
///
/// The cheapest lattice drains over the site's orientations, straightened and polished on true geometry as routes are.
/// @param sources  of the site, all or some; indices in the drain are into these
/// @return drains, cheapest first by what the search knows; or in words why there is none: the sources can still be
///         routed one by one
std::variant<std::vector<PlannedDrain>, std::string> plan_drains(const RoutePrep& prep, const Site& site,
                                                                 const Ground& ground, std::span<const Source> sources,
                                                                 const Outlet& outlet, const RouteRules& rules,
                                                                 const DrainRules& drain, UnitSystem units);

} // namespace trenchwright
