#pragma once

#include "trenchwright/route/route.hpp"

#include <optional>

namespace trenchwright {

/// Why no water may be led to a place of an outlet, whatever the ground is like there; or nothing.
///
/// - An inlet into a sanitary or combined sewer: by its record, by its name or id (rules.sanitary_words), or by a sewer
///   mark within rules.sewer_distance_m that is not stated to be storm. An inlet stated to be storm is refused only
///   where it lies on a mark stated to be sanitary.
/// - A septic part or a well: in it, or nearer than its hard distance lets a trench come.
/// - A neighbor's lot, outside our own lot and the right-of-way.
///
/// Source: clear water is kept out of sanitary sewers by UPC 1101.2 and by the codes of Dubuque IA, Piqua OH and
/// Matteson IL; IPC 1101.3 from memory.
std::optional<Refusal> outlet_bar(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules,
                                  UnitSystem units);

} // namespace trenchwright
