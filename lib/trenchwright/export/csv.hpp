#pragma once

#include <string>
#include <vector>

namespace trenchwright {

/// One row of a comma-separated file, ended as RFC 4180 has it; cells in quotes where they need them.
std::string csv_row(const std::vector<std::string>& cells);

} // namespace trenchwright
