#pragma once

#include "trenchwright/base/finding.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// Columns of running text in a plain text paper.
inline constexpr std::size_t page_width = 100;

/// A table in plain text: columns padded to their widest cell, two blanks between, no trailing blanks.
/// @param right  columns set to the right (figures)
std::string text_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right);

/// The same within `width` columns: cells of the widest columns are broken at blanks into several lines. Only words
/// longer than their share of the width make it wider.
std::string fitted_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right,
                         std::size_t width);

/// Text broken at blanks to `width` columns, every line but the first indented by `indent`.
std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

/// A line of text, underlined.
std::string heading(const std::string& text);

/// "STOP", "Warning", "Note".
std::string_view display_name(Severity severity);

/// A key as people write it: with blanks for its underscores.
std::string display_name(std::string key);

/// What keeps a text from being printed: that it is not UTF-8 (RFC 3629), or that it holds a control character other
/// than tab and line end (C0, DEL, C1), which would steer a terminal. Nothing where it may be printed.
std::optional<std::string> text_fault(std::string_view text);

/// "walk drive" as two words.
std::vector<std::string> words_of(const std::string& list);

} // namespace trenchwright
