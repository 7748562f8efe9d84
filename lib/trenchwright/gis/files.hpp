#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace trenchwright {

enum class FileKind { vector, raster };

/// How much a single input may ask of this machine. Bigger input is refused, never cut.
///
/// Source: docs/sources.md, X10: a GeoTIFF of 15 kB that took 16 GB. The figures are generous for one lot and its block
/// (common practice, no source).
struct ReadLimits {
    std::uintmax_t file_bytes = 512ULL << 20U; ///< of a file that is read as a whole (GeoJSON, CSV, a grid)
    std::size_t features = 200'000; ///< near the lot; the file may hold any number
    std::size_t vertices = 4'000'000;
    std::size_t raster_cells = 16'000'000;
    std::size_t block_bytes = 64ULL << 20U;
};

/// Name of the one driver the file may be opened with; its ending decides, never its content.
///
/// Only a regular file on a local disk passes: no directory, no pipe, no virtual or network name, no archive. What lies
/// beside it and is read with it (.dbf, .prj and the like) is held to the same.
/// @throws Error (input) naming the file and why
std::string driver_for(const std::filesystem::path& file, FileKind kind, const ReadLimits& limits = {});

/// What parse_number makes of a text: the number it states, whole and finite, decimal point only (or decimal comma
/// only, where that is stated). Spaces around it do not count. `ok` is false for anything else: "1,5", "12 ft", "nan",
/// "".
struct ParsedNumber {
    bool ok = false;
    double value = 0;
};
ParsedNumber parse_number(std::string_view text, bool decimal_comma = false);

/// Without spaces, tabs and line ends around it.
std::string_view trimmed(std::string_view text);

} // namespace trenchwright
