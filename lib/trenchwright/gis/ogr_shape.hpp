#pragma once

#include "trenchwright/gis/write.hpp"

#include <memory>
#include <string>

class OGRGeometry;

namespace trenchwright {

enum class Heights {
    in_elev_unit, ///< of the frame
    in_grid_unit  ///< that of x and y
};

/// Where a shape is going.
struct ShapeTarget {
    std::string layer; ///< for messages
    const Frame& frame;
    Heights heights = Heights::in_elev_unit;
};

/// A shape in native coordinates; nullptr for no shape.
/// @throws Error (internal) for a coordinate that is not finite
std::unique_ptr<OGRGeometry> ogr_shape(const ShapeTarget& target, const OutShape& shape);

} // namespace trenchwright
