#include "trenchwright/base/text.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <numeric>
#include <sstream>

namespace trenchwright {

namespace {

/// For each column the greatest of a measure of its cells.
template <class Measure>
std::vector<std::size_t> widest(const std::vector<std::vector<std::string>>& rows, Measure measure)
{
    std::vector<std::size_t> widths;
    for (const auto& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i) {
            widths[i] = std::max(widths[i], measure(row[i]));
        }
    }
    return widths;
}

std::size_t longest_word(const std::string& cell)
{
    std::size_t longest = 0;
    std::istringstream words(cell);
    for (std::string word; words >> word;) {
        longest = std::max(longest, word.size());
    }
    return longest;
}

/// Takes from the widest column, again and again, until the table fits; no column gets narrower than its longest word.
void narrow(std::vector<std::size_t>& widths, const std::vector<std::size_t>& least, std::size_t table_width)
{
    const auto sum = [&] { return std::accumulate(widths.begin(), widths.end(), 2 * (widths.size() - 1)); };
    while (!widths.empty() && sum() > table_width) {
        std::size_t widest_at = widths.size();
        for (std::size_t i = 0; i < widths.size(); ++i) {
            if (widths[i] > least[i] && (widest_at == widths.size() || widths[i] > widths[widest_at])) {
                widest_at = i;
            }
        }
        if (widest_at == widths.size()) {
            return;
        }
        --widths[widest_at];
    }
}

/// A character of UTF-8 at the front of a text; nothing where there is none.
struct Letter {
    char32_t code = 0;
    std::size_t bytes = 0;
};

std::optional<Letter> first_letter(std::string_view text)
{
    const auto lead = static_cast<unsigned char>(text.front());
    const std::size_t bytes = lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 0;
    if (bytes == 0 || bytes > text.size() || lead > 0xF4) {
        return std::nullopt;
    }
    char32_t code = bytes == 1 ? lead : lead & (0x7FU >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        const auto next = static_cast<unsigned char>(text[i]);
        if ((next & 0xC0U) != 0x80) {
            return std::nullopt;
        }
        code = (code << 6U) | (next & 0x3FU);
    }
    constexpr std::array<char32_t, 5> smallest{0, 0, 0x80, 0x800, 0x10000};
    const bool surrogate = code >= 0xD800 && code < 0xE000;
    return code < smallest.at(bytes) || surrogate || code > 0x10FFFF ? std::nullopt
                                                                     : std::optional(Letter{code, bytes});
}

} // namespace

std::string text_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right)
{
    const auto widths = widest(rows, [](const std::string& cell) { return cell.size(); });
    std::string text;
    for (const auto& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            const bool to_right = std::find(right.begin(), right.end(), i) != right.end();
            line += to_right ? fmt::format("{:>{}}  ", row[i], widths[i]) : fmt::format("{:<{}}  ", row[i], widths[i]);
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text;
}

std::string fitted_table(const std::vector<std::vector<std::string>>& rows, const std::vector<std::size_t>& right,
                         std::size_t width)
{
    auto widths = widest(rows, [](const std::string& cell) { return cell.size(); });
    narrow(widths, widest(rows, longest_word), width);
    std::vector<std::vector<std::string>> lines;
    for (const auto& row : rows) {
        const std::size_t first = lines.size();
        for (std::size_t i = 0; i < row.size(); ++i) {
            std::istringstream parts(wrapped(row[i], widths[i], 0));
            std::string part;
            for (std::size_t at = first; std::getline(parts, part); ++at) {
                lines.resize(std::max(lines.size(), at + 1), std::vector<std::string>(row.size()));
                lines[at][i] = part;
            }
        }
    }
    return text_table(lines, right);
}

std::string heading(const std::string& text)
{
    return fmt::format("{}\n{}\n", text, std::string(text.size(), '-'));
}

std::string_view display_name(Severity severity)
{
    switch (severity) {
    case Severity::stop: return "STOP";
    case Severity::warning: return "Warning";
    case Severity::note: return "Note";
    }
    return "";
}

std::string display_name(std::string key)
{
    std::ranges::replace(key, '_', ' ');
    return key;
}

std::string wrapped(const std::string& text, std::size_t width, std::size_t indent)
{
    std::string result;
    std::size_t from = 0;
    std::size_t room = width;
    while (text.size() - from > room) {
        const auto space = text.rfind(' ', from + room);
        if (space == std::string::npos || space <= from) {
            break;
        }
        result += text.substr(from, space - from) + "\n" + std::string(indent, ' ');
        from = space + 1;
        room = width - indent;
    }
    return result + text.substr(from);
}

std::optional<std::string> text_fault(std::string_view text)
{
    while (!text.empty()) {
        const auto letter = first_letter(text);
        if (!letter) {
            return "is not UTF-8";
        }
        const bool blank = letter->code == '\t' || letter->code == '\n' || letter->code == '\r';
        const bool control = letter->code < 0x20 || (letter->code >= 0x7F && letter->code < 0xA0);
        if (control && !blank) {
            return fmt::format("holds a control character, code {}", static_cast<unsigned>(letter->code));
        }
        text.remove_prefix(letter->bytes);
    }
    return std::nullopt;
}

std::vector<std::string> words_of(const std::string& list)
{
    std::istringstream in(list);
    std::vector<std::string> words;
    for (std::string word; in >> word;) {
        words.push_back(word);
    }
    return words;
}

} // namespace trenchwright
