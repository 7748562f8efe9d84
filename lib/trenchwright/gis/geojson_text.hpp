#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

/// What a file's own text says and GDAL does not hand on.
namespace trenchwright {

/// Which vertices of a geometry carry a height, in the order they are written.
using VertexHeights = std::vector<bool>;

/// Geometries in which some vertices carry a height and others do not, by their x and y in the order they are written
/// (x, y, x, y, ...). GDAL gives the others the height 0.
using MixedHeights = std::map<std::vector<double>, VertexHeights>;

struct GeojsonText {
    MixedHeights mixed;
    std::string fault; ///< where the text is not proper JSON and the look ended; empty: it is
};

/// Looks through a GeoJSON file before GDAL opens it.
///
/// A `crs` member of type "link" or "url" (GeoJSON 2008, section 3.2) makes GDAL ask the network for the system, be it
/// the collection's or one geometry's; one that names a file makes PROJ open it. Members of a feature's `properties` are attributes and not looked at.
/// @throws Error (input) naming the file and such a member
GeojsonText look_through_geojson(const std::filesystem::path& file);

/// Of a geometry in well-known text: "LINESTRING Z (1 2 3, 4 5)" has a height at its first vertex only.
VertexHeights heights_in_wkt(std::string_view wkt);

} // namespace trenchwright
