#pragma once

#include "trenchwright/gis/dxf.hpp"

namespace trenchwright {

/// GDAL's own DXF header with the unit, the point symbol, and our layers with their line patterns put in.
/// @param given  the text of GDAL's header.dxf
/// @throws Error (output) where the header lacks a place to put them
std::string dxf_header(const std::string& given, const Frame& frame, std::span<const DrawingLayer> layers);

/// $INSUNITS of a length: 1 inch, 2 foot, 6 meter, 21 US survey foot.
/// Source: the published DXF reference, header variables, from memory.
int dxf_unit_code(LengthUnit unit);

} // namespace trenchwright
