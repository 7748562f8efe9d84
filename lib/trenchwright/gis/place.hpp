#pragma once

#include "trenchwright/gis/layer.hpp"

#include <optional>
#include <string>

namespace trenchwright {

/// A layer whose shapes are in site meters, and what was assumed on the way.
struct PlacedLayer {
    LayerData data;
    Frame frame;                            ///< its shapes are in
    std::optional<double> shift_accuracy_m; ///< stated accuracy of the datum shift, if there was one
    std::string shift_name;                 ///< the two systems, if there was one
    bool system_assumed = false;            ///< a table that states no system, taken as the site's
    bool system_ignored = false;            ///< tape site: what the file states was set aside
};

/// The system of tables (CSV) that state none.
struct TableSystem {
    std::string wkt;  ///< empty: such a table is an error
    std::string from; ///< for people: who states it, "lots.gpkg, layer lots"
};

/// Brings a layer to the site. On a tape site layers are taken as offsets.
/// @throws Error (input) for a layer without system on a site that has one, "longitudes and latitudes" out of
///         range, or no exact transformation; on a tape site for one that states degrees (a GeoJSON file that states
///         nothing does, RFC 7946 section 4) or whose shapes all lie within an inch, as degrees taken for feet do
PlacedLayer in_frame(LayerData layer, const Frame& frame, const TableSystem& tables);

/// A place of the site as the layer's own file would write it, for messages: "(6500012.340, 1849003.102)", degrees to
/// seven decimals (1 cm).
std::string place_in_file(const PlacedLayer& layer, const Point& p);

/// Where the layer is, in its own coordinates: the median of the features' box centers, so that a stray feature
/// does not move it. Nothing for a layer without shapes.
std::optional<NativePoint> middle(const LayerData& layer);

/// @throws Error (input) when a layer in degrees holds coordinates that are none
void require_degrees(const LayerData& layer);

} // namespace trenchwright
