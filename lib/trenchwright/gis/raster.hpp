#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/gis/files.hpp"
#include "trenchwright/gis/frame.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace trenchwright {

/// What to read of an elevation grid and how.
struct RasterSource {
    std::filesystem::path file = {};
    std::string crs = {};              ///< overrides what the file states; empty: as stated
    double unit_m = 1;                 ///< meters per unit of elevation
    std::optional<double> nodata = {}; ///< in the file's unit, besides what the file itself declares
    Box window = {};                   ///< part of the site wanted; cells that touch it and two more around
};

/// A grid in another system is taken as plane over the window; off by more than this it is refused.
inline constexpr double raster_plane_limit_m = 0.005;

/// Reads one band of elevations in site meters; the cells stay where the survey put them (no resampling), so a grid
/// of another system comes out turned.
/// @throws Error (input) for what driver_for refuses, a grid without place or system, more or fewer than one band, a
///         window it does not touch, or more than the limits allow
Raster read_raster(const RasterSource& source, const Frame& frame, const ReadLimits& limits = {});

} // namespace trenchwright
