#pragma once

#include "trenchwright/base/point.hpp"
#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/gis/frame.hpp"

#include <filesystem>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

enum class OutGeometry { none, point, line, polygon, point_with_elev, line_with_elev };
enum class OutFieldType { text, integer, real };

struct OutField {
    std::string name;
    OutFieldType type = OutFieldType::text;
};

/// Nothing is written as NULL.
using OutValue = std::variant<std::monostate, std::string, long long, double>;
/// Nothing for the rows of a layer without geometry, which is a plain table.
using OutShape = std::variant<std::monostate, Point, Polyline, Polygon, Point3, std::vector<Point3>>;

struct OutFeature {
    OutShape shape;               ///< site meters; must be of the layer's geometry
    std::vector<OutValue> values; ///< in the order of the layer's fields
};

struct OutLayer {
    std::string name;
    std::string description; ///< one sentence for people
    OutGeometry geometry = OutGeometry::point;
    std::vector<OutField> fields;
    std::vector<OutFeature> features;
};

/// Writes a GeoPackage 1.3 in the site's own system: native coordinates, elevations in the frame's unit; a tape site
/// gets the undefined cartesian system. The same bytes for the same values.
/// @param file  must not exist yet
/// @throws Error (output) when the disk refuses; Error (internal) for a value that does not fit its field, a shape
///         that does not fit its layer, or a number that is not finite
void write_geopackage(const std::filesystem::path& file, const Frame& frame, std::span<const OutLayer> layers);

} // namespace trenchwright
