#pragma once

#include <string>
#include <vector>

namespace trenchwright {

/// The cautions every output carries, in order. Never permission to dig.
const std::vector<std::string>& cautions();

} // namespace trenchwright
