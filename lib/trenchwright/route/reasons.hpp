#pragma once

#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/search.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// Fall that lacks at one place of a line.
struct MissingFall {
    double by_m = 0;
    Point at;
    double station_m = 0; ///< from the outlet
    double ground_elev_m = 0;
    double end_elev_m = 0; ///< lowest invert that the outlet takes
    CoverAt cover;
    std::optional<double> opening_elev_m; ///< the opening in the wall, where that decides and not ground and cover
};

/// The same in words: where, by how much, and what takes the fall there.
Refusal falls_short(const MissingFall& missing, const RouteRules& rules, UnitSystem units);

/// A search's "no" in words and figures: how much fall is missing, where, and what the ground and the cover are
/// there.
/// @param reason  nothing when a lattice route was found but none holds on true geometry
Refusal refusal_for(const std::optional<NoPath>& reason, const Lattice* lattice, const std::vector<EndPoint>& ends,
                    const Site& site, const Outlet& outlet, const Ground& ground, const RouteRules& rules,
                    UnitSystem units);

} // namespace trenchwright
