#include "trenchwright/gis/dxf_text.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

constexpr std::size_t longest_text_bytes = 240;

/// What a byte of UTF-8 may grow to: a character that Western Windows lacks becomes "\U+20ac".
std::size_t escaped_bytes(char c)
{
    const bool plain = static_cast<unsigned char>(c) < 0x80;
    return !plain ? 7 : c == ' ' || c == '\\' || c == '^' ? 2 : 1;
}

char drawable(char c)
{
    return c == '{' ? '(' : c == '}' ? ')' : static_cast<unsigned char>(c) < ' ' ? ' ' : c;
}

std::size_t escaped_bytes(std::string_view text)
{
    std::size_t bytes = 0;
    std::ranges::for_each(text, [&](char c) { bytes += escaped_bytes(c); });
    return bytes;
}

} // namespace

std::vector<std::string> dxf_lines(std::string_view text)
{
    std::vector<std::string> lines(1);
    std::size_t bytes = 0;
    for (const char c : text) {
        const bool starts_character = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (bytes + escaped_bytes(c) > longest_text_bytes && starts_character) {
            auto& full = lines.back();
            const auto space = full.rfind(' ');
            const auto rest = space == std::string::npos ? std::string() : full.substr(space + 1);
            full.resize(std::min(space, full.size()));
            lines.push_back(rest);
            bytes = escaped_bytes(rest);
        }
        lines.back() += drawable(c);
        bytes += escaped_bytes(c);
    }
    return lines;
}

std::string with_plain_spaces(std::string_view file_text)
{
    std::string made;
    for (std::size_t i = 0; i < file_text.size(); ++i) {
        const bool escape = file_text[i] == '\\' && i + 1 < file_text.size();
        if (escape && file_text[i + 1] == '~') {
            made += ' ';
            ++i;
        } else if (escape && file_text[i + 1] == '\\') {
            made += "\\\\";
            ++i;
        } else {
            made += file_text[i];
        }
    }
    return made;
}

} // namespace trenchwright
