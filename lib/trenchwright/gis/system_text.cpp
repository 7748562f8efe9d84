#include "trenchwright/gis/system_text.hpp"

#include "trenchwright/base/error.hpp"

#include <array>
#include <cctype>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// As PROJ sees it: blanks and semicolons part words, quotes do not count, and "k = v" is "k=v".
std::string plain(std::string_view system)
{
    std::string text;
    for (const char c : system) {
        const auto letter = static_cast<unsigned char>(c);
        if (std::isspace(letter) == 0 && c != '"' && c != ';') {
            text += static_cast<char>(std::tolower(letter));
        }
    }
    return text;
}

bool holds(std::string_view text, std::string_view word, std::string_view harmless)
{
    for (auto at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
        const auto value = text.substr(at + word.size());
        const bool list = value.substr(0, harmless.size() + 1).ends_with(',');
        if (harmless.empty() || !value.starts_with(harmless) || list) {
            return true;
        }
    }
    return false;
}

} // namespace

std::string_view word_that_opens_a_file(std::string_view system)
{
    struct Word {
        std::string_view plain;
        std::string_view harmless;
        std::string_view told;
    };
    static constexpr std::array<Word, 4> words{{{"grids=", "@null", "grids="},
                                                {"init=", "", "init="},
                                                {"file=", "", "file="},
                                                {"proj-basedoperation", "", "PROJ-based operation"}}};
    const auto text = plain(system);
    for (const auto& word : words) {
        if (holds(text, word.plain, word.harmless)) {
            return word.told;
        }
    }
    return {};
}

void refuse_files_of_system(const std::string& system)
{
    const auto word = word_that_opens_a_file(system);
    if (!word.empty()) {
        throw Error(ErrorKind::input,
                    fmt::format("the coordinate system \"{:.200}\" names a file (\"{}\"), and only the job's own files "
                                "are opened. State the system by its number, such as EPSG:2229, or by well-known text",
                                system, word));
    }
}

} // namespace trenchwright
