#pragma once

#include "trenchwright/gis/layer.hpp"
#include "trenchwright/site/layers.hpp"

#include <optional>
#include <string>
#include <vector>

/// From files to layers that hold what lies near our lot. Internal to the module.
namespace trenchwright {

struct LoadedLayer {
    const SitePart* part = nullptr;
    const LayerUse* use = nullptr;
    LayerData data;
    /// Around all features of the file, where none of them lies near the lot.
    std::optional<NativeBox> all = {};
};

/// Ground in some coordinate system.
struct NearBox {
    std::string wkt;
    NativeBox box;
};

struct Loaded {
    std::vector<LoadedLayer> layers; ///< in the order of site_parts()
    std::optional<NearBox> near;     ///< what was read; nothing: every layer as a whole
};

/// What is measured on the lot itself (sources, outlets, heights): read as a whole, and a place far away can only be a
/// slip.
bool of_the_lot(const SitePart& part);

/// Opens and reads every layer of a job but its grid.
///
/// Our lot is found first: by [parcel] id, else as the only one, else as those the sources stand on. The other layers
/// are then read through a box around it and all that was measured on it, ReadingRules::around_m larger and some
/// meters more, so that what is cut to the exact box afterwards does not hang on the format. A tape lot, a lot that
/// nothing shows, and a layer without a system are read as a whole.
/// @throws Error (input) as read_site
Loaded load_layers(const SiteLayers& job);

/// Bounds brought to another system, its edges followed point by point.
/// @throws Error (input) when no exact transformation is known
NativeBox box_in(const NearBox& from, const std::string& to_wkt);

} // namespace trenchwright
