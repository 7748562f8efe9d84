#pragma once

#include <string_view>

namespace trenchwright {

/// Of the library and the program: "1.2.3".
std::string_view version();

} // namespace trenchwright
