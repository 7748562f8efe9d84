#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// A text as the lines that GDAL writes whole: it cuts a value at 255 bytes after escaping it. Broken at the last
/// space, or within a word that alone is too long. Curly brackets become round ones and control characters spaces, for
/// both steer the format.
std::vector<std::string> dxf_lines(std::string_view text);

/// A DXF file of GDAL's with its hard spaces (\~) made plain ones, for not every reader knows them.
std::string with_plain_spaces(std::string_view file_text);

} // namespace trenchwright
