#pragma once

#include "trenchwright/gis/write.hpp"

#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace trenchwright {

/// Which point of a text lies at its place.
enum class TextAnchor { top_left, middle_left, middle, middle_right };

struct DrawingText {
    Point at;
    std::string text;
    double turn_rad = 0; ///< anticlockwise
    TextAnchor anchor = TextAnchor::middle_left;
};

/// What is drawn alike.
struct DrawingLayer {
    std::string name = {}; ///< ASCII letters, digits, spaces and hyphens
    int color = 7;         ///< number in the format's color table: 1 red, 2 yellow, 3 green, 5 blue, 7 white or black
    std::vector<double> dashes_m = {}; ///< pen down, pen up, ...; empty: solid
    int pen_hundredths_mm = 25;        ///< thickness on paper, one that the format knows: 13, 18, 25, 35, 50
    double text_height_m = 0;
    std::vector<OutShape> shapes = {};
    std::vector<DrawingText> texts = {};
};

/// Writes a DXF drawing (release 2004) through GDAL: native coordinates, heights in the unit of x and y, that unit in
/// the header. Areas are written as closed lines. Texts longer than GDAL can write are broken into lines; curly
/// brackets become round ones and control characters spaces, for both steer the format. The same bytes for the same
/// values.
/// @param file  must not exist yet
/// @throws Error (output) when the disk refuses or GDAL's template is missing; Error (internal) for a layer name that
///         the format does not allow or a number that is not finite
void write_dxf(const std::filesystem::path& file, const Frame& frame, std::span<const DrawingLayer> layers);

} // namespace trenchwright
