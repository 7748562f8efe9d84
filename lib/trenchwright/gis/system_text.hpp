#pragma once

#include <string>
#include <string_view>

namespace trenchwright {

/// The word of a coordinate system's text by which PROJ or GDAL would open another file, or run steps of its own that
/// do: "grids=" (nadgrids, geoidgrids and the like, but for "@null", which is no file), "init=", "file=" and
/// "PROJ-based operation". Spaces, quotes and capitals do not matter, as they do not to PROJ.
/// @return empty: the text names no file
std::string_view word_that_opens_a_file(std::string_view system);

/// @throws Error (input) with that word
void refuse_files_of_system(const std::string& system);

} // namespace trenchwright
