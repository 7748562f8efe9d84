#pragma once

#include <string>
#include <vector>

namespace trenchwright {

/// The PDF with more in the dictionaries of its pages. What was there stays as it is, byte for byte; the changed pages
/// follow it as an incremental update (ISO 32000-2:2020, 7.5.6).
/// @param entries  in PDF's own syntax, of the first page, the second, ...; an empty one changes nothing
/// @throws Error (internal) for a file written in another way than cairo does: a cross-reference table, pages one below
///         another in one list; then nothing is guessed
std::string with_page_entries(std::string pdf, const std::vector<std::string>& entries);

} // namespace trenchwright
