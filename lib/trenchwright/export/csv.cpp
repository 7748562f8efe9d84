#include "trenchwright/export/csv.hpp"

namespace trenchwright {

std::string csv_row(const std::vector<std::string>& cells)
{
    std::string row;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        row += i == 0 ? "" : ",";
        if (cells[i].find_first_of(",\"\r\n") == std::string::npos) {
            row += cells[i];
            continue;
        }
        row += '"';
        for (const char letter : cells[i]) {
            row += letter == '"' ? "\"\"" : std::string(1, letter);
        }
        row += '"';
    }
    return row + "\r\n";
}

} // namespace trenchwright
