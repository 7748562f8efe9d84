#pragma once

#include <string>
#include <vector>

namespace trenchwright {

/// Stands before a cell that a spreadsheet would run; spreadsheets show the rest as text.
inline constexpr char csv_guard = '\'';

/// One row of a comma-separated file, ended as RFC 4180 has it; cells in quotes where they need them. A cell that
/// begins with = + - @, tab or carriage return and is no number gets the guard.
/// Source: OWASP, "CSV Injection", owasp.org/www-community/attacks/CSV_Injection.
std::string csv_row(const std::vector<std::string>& cells);

} // namespace trenchwright
