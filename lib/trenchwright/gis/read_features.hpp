#pragma once

#include "trenchwright/gis/geojson_text.hpp"
#include "trenchwright/gis/layer.hpp"

#include <functional>

class OGRFeature;
class OGRLayer;

/// From the features of GDAL to ours; the inside of OpenLayer.
namespace trenchwright {

/// What is asked of a layer's features while they are read.
struct FeatureReading {
    const LayerSource& source;
    const ReadLimits& limits;
    const MixedHeights& mixed;                    ///< of its text
    std::function<bool(OGRFeature&)> wanted = {}; ///< nothing: every feature
};

/// Adds the wanted features of a layer, as its filters leave it, to what was read of it before.
/// @throws Error (input) as read_layer
void read_features(OGRLayer& from, LayerData& layer, const FeatureReading& reading);

/// A field's text as Feature::values has it; empty for NULL and unset.
std::string field_text(const OGRFeature& feature, int field);

/// Gives the features of a table without geometry their places from its columns.
/// @throws Error (input) for a column that is missing or holds no number
void place_by_columns(LayerData& layer, const LayerSource& source);

} // namespace trenchwright
