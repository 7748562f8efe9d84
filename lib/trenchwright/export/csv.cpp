#include "trenchwright/export/csv.hpp"

#include <charconv>

namespace trenchwright {

namespace {

bool is_number(const std::string& cell)
{
    double value = 0;
    const auto* const end = cell.data() + cell.size();
    const auto [read, fault] = std::from_chars(cell.data(), end, value);
    return fault == std::errc{} && read == end;
}

/// A spreadsheet takes a text that begins like a formula for one and computes it.
std::string guarded(const std::string& cell)
{
    const bool begins_like_one = cell.find_first_of("=+-@\t\r") == 0;
    return begins_like_one && !is_number(cell) ? csv_guard + cell : cell;
}

} // namespace

std::string csv_row(const std::vector<std::string>& cells)
{
    std::string row;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        row += i == 0 ? "" : ",";
        const auto cell = guarded(cells[i]);
        if (cell.find_first_of(",\"\r\n") == std::string::npos) {
            row += cell;
            continue;
        }
        row += '"';
        for (const char letter : cell) {
            row += letter == '"' ? "\"\"" : std::string(1, letter);
        }
        row += '"';
    }
    return row + "\r\n";
}

} // namespace trenchwright
