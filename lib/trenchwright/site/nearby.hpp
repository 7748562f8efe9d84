#pragma once

#include "trenchwright/base/units.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// How far around the lot, the sources and the outlets the ground still matters to a trench. Common practice, no
/// source.
inline constexpr double surroundings_m = 20;

/// The box around our lot (the houses where there is none), the sources and the outlets, widened by surroundings_m;
/// nothing without any of them.
std::optional<Box> surroundings(const Site& site);

/// A doubt about the shape of one feature, held back until it is known where our lot lies.
struct ShapeWarning {
    Finding finding;     ///< said in full where the feature lies in the surroundings
    std::string place;   ///< "parcels.geojson, layer parcels"
    std::string summary; ///< of many: "polygons are not proper and were made proper"
    long long feature_id = -1;
    Ring outline;
};

/// Findings of all doubts: each by itself whose outline's box meets the surroundings; of the others one line for all
/// that are alike in place and summary, with their number and the nearest one.
std::vector<Finding> findings_of(const std::vector<ShapeWarning>& warnings, const Site& site, UnitSystem units);

} // namespace trenchwright
