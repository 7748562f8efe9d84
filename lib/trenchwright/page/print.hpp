#pragma once

#include "trenchwright/page/canvas.hpp"

#include <string>

namespace trenchwright {

// What is drawn on a canvas as a file's bytes, the same each time. In an SVG and a PNG the pages stand below each
// other. @throws Error (internal) when the drawing library fails
std::string svg_of(const Canvas& canvas);
std::string png_of(const Canvas& canvas, double dots_per_in);
std::string pdf_of(const Canvas& canvas, const std::string& title);

} // namespace trenchwright
