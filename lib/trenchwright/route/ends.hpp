#pragma once

#include "trenchwright/route/route.hpp"

#include <optional>
#include <variant>
#include <vector>

namespace trenchwright {

/// The point of the outlet nearest to p, whatever the rules say about it.
Point nearest_of_outlet(const Outlet& outlet, const Point& p);

/// Why a point of an outlet may not be used, or the inverts it accepts.
std::variant<EndPoint, Refusal> end_at(const Site& site, const Ground& ground, const Outlet& outlet,
                                       const RouteRules& rules, const Point& p, UnitSystem units);

/// The end at the point of the outlet nearest to p, with a reserve of fall; nothing where the rules allow none there.
std::optional<EndPoint> end_near(const Site& site, const Ground& ground, const Outlet& outlet, const RouteRules& rules,
                                 const Point& p, double reserve_m, UnitSystem units);

/// Places of the outlet to search to: the point itself, or points of the line or area no further apart than
/// `spacing_m`.
/// @return at least one, or the refusal that most of them share
std::variant<std::vector<EndPoint>, Refusal> ends_of(const Site& site, const Ground& ground, const Outlet& outlet,
                                                     const RouteRules& rules, double spacing_m, UnitSystem units);

} // namespace trenchwright
