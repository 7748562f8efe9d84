#include "trenchwright/base/text.hpp"

#include <algorithm>
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
