#pragma once

#include "trenchwright/route/search.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// A search's "no" in words and figures: how much fall is missing, where, and what the ground and the cover are
/// there.
/// @param reason  nothing when a lattice route was found but none holds on true geometry
Refusal refusal_for(const std::optional<NoPath>& reason, const Lattice* lattice, const std::vector<EndPoint>& ends,
                    const Site& site, const Outlet& outlet, const Ground& ground, const RouteRules& rules,
                    UnitSystem units);

} // namespace trenchwright
