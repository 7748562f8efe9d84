#pragma once

#include <string>

namespace trenchwright {

/// A projected system as other programs name it.
struct SystemNames {
    int epsg = 0;               ///< 0: it has no number there
    std::string wkt1;           ///< well-known text as in OGC 01-009
    std::string geographic_wkt; ///< its own longitudes and latitudes, no datum shift away
};

/// @throws Error (input) for a text that is no projected system
SystemNames system_names(const std::string& wkt);

} // namespace trenchwright
