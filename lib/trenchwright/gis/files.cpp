#include "trenchwright/gis/files.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

struct Ending {
    std::string_view ending;
    FileKind kind;
    std::string_view driver;
};

constexpr std::array<Ending, 9> endings{{
    {".gpkg", FileKind::vector, "GPKG"},
    {".geojson", FileKind::vector, "GeoJSON"},
    {".json", FileKind::vector, "GeoJSON"},
    {".shp", FileKind::vector, "ESRI Shapefile"},
    {".csv", FileKind::vector, "CSV"},
    {".fgb", FileKind::vector, "FlatGeobuf"},
    {".tif", FileKind::raster, "GTiff"},
    {".tiff", FileKind::raster, "GTiff"},
    {".asc", FileKind::raster, "AAIGrid"},
}};

std::string known_endings(FileKind kind)
{
    std::string list;
    for (const auto& row : endings) {
        if (row.kind == kind) {
            list += list.empty() ? "" : ", ";
            list += row.ending;
        }
    }
    return list;
}

[[noreturn]] void refuse(const std::filesystem::path& file, std::string_view why)
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", file.string(), why));
}

void require_plain_file(const std::filesystem::path& file)
{
    const auto text = file.generic_string();
    if (text.find("/vsi") != std::string::npos || text.find(":/") != std::string::npos) {
        refuse(file, "only files on a local disk are read; this is a virtual or network name");
    }
    std::error_code fault;
    const auto status = std::filesystem::status(file, fault);
    if (!std::filesystem::exists(status)) {
        refuse(file, "no such file");
    }
    if (!std::filesystem::is_regular_file(status)) {
        refuse(file, "is not a regular file");
    }
    const auto bytes = std::filesystem::file_size(file, fault);
    if (fault || bytes == 0) {
        refuse(file, "the file is empty");
    }
}

/// Formats with an index by feature are read in pieces; the others fill the memory.
void require_size(const std::filesystem::path& file, std::string_view driver, const ReadLimits& limits)
{
    const bool in_pieces = driver == "GPKG" || driver == "ESRI Shapefile" || driver == "FlatGeobuf";
    std::error_code fault;
    const auto bytes = std::filesystem::file_size(file, fault);
    if (!in_pieces && bytes > limits.file_bytes) {
        refuse(file, fmt::format("{} bytes, the limit is {} for {}; a GeoPackage may be larger", bytes,
                                 limits.file_bytes, driver));
    }
}

/// @param side  read together with the file, if it is there
void require_plain_side_file(const std::filesystem::path& side, const std::filesystem::path& file,
                             const ReadLimits& limits)
{
    std::error_code fault;
    const auto status = std::filesystem::status(side, fault);
    if (!std::filesystem::exists(status)) {
        return;
    }
    if (!std::filesystem::is_regular_file(status)) {
        refuse(side, "is not a regular file; it would be read with " + file.filename().string());
    }
    if (const auto bytes = std::filesystem::file_size(side, fault); bytes > limits.file_bytes) {
        refuse(side, fmt::format("{} bytes, the limit is {}; it would be read with {}", bytes, limits.file_bytes,
                                 file.filename().string()));
    }
}

/// GDAL opens these beside a file without being asked: a pipe among them would never end.
void require_plain_side_files(const std::filesystem::path& file, const ReadLimits& limits)
{
    static constexpr std::array<const char*, 14> endings_beside{
        ".shx", ".dbf", ".prj", ".cpg", ".qix", ".sbn", ".sbx", ".idm", ".csvt", ".tfw", ".wld", ".ovr", ".msk", ".aux"};
    for (const std::string ending : endings_beside) {
        auto capital = ending;
        std::ranges::transform(capital, capital.begin(),
                               [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
        auto stem = file;
        require_plain_side_file(stem.replace_extension(ending), file, limits);
        require_plain_side_file(stem.replace_extension(capital), file, limits);
        require_plain_side_file(file.string() + ending, file, limits);
    }
}

/// A database somebody has open keeps its newest rows in a second file that we would not see.
void require_no_pending_writes(const std::filesystem::path& file)
{
    std::error_code fault;
    const auto log_bytes = std::filesystem::file_size(file.string() + "-wal", fault);
    if (!fault && log_bytes > 0) {
        refuse(file, "another program has unsaved rows beside it (-wal); close that program first");
    }
}

/// A shapefile is several files of one name; without the index or the table of its shapes too little would be read.
void require_whole_shapefile(const std::filesystem::path& file)
{
    for (const auto& [small, capital] : {std::pair{".shx", ".SHX"}, std::pair{".dbf", ".DBF"}}) {
        auto beside = file;
        auto in_capitals = file;
        beside.replace_extension(small);
        in_capitals.replace_extension(capital);
        if (!std::filesystem::exists(beside) && !std::filesystem::exists(in_capitals)) {
            refuse(file, fmt::format("cannot be read: {} is missing beside it; a shapefile is several files of one "
                                     "name (.shp, .shx, .dbf, .prj): copy them all",
                                     beside.filename().string()));
        }
    }
}

} // namespace

std::string driver_for(const std::filesystem::path& file, FileKind kind, const ReadLimits& limits)
{
    require_plain_file(file);
    require_plain_side_files(file, limits);
    auto ending = file.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const auto* const row = std::find_if(endings.begin(), endings.end(),
                                         [&](const Ending& e) { return e.ending == ending && e.kind == kind; });
    if (row == endings.end()) {
        refuse(file, fmt::format("the ending \"{}\" is not among {}", ending, known_endings(kind)));
    }
    require_size(file, row->driver, limits);
    if (row->driver == "GPKG") {
        require_no_pending_writes(file);
    }
    if (row->driver == "ESRI Shapefile") {
        require_whole_shapefile(file);
    }
    return std::string(row->driver);
}

std::string_view trimmed(std::string_view text)
{
    constexpr std::string_view blanks = " \t\r\n";
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

ParsedNumber parse_number(std::string_view text, bool decimal_comma)
{
    std::string with_point;
    if (decimal_comma) {
        const bool has_point = text.find('.') != std::string_view::npos;
        with_point = has_point ? std::string() : std::string(text);
        std::ranges::replace(with_point, ',', '.');
        text = with_point;
    }
    auto body = trimmed(text);
    if (body.size() > 1 && body.front() == '+' && body[1] != '-') {
        body.remove_prefix(1);
    }
    double value = 0;
    const auto [end, code] = std::from_chars(body.data(), body.data() + body.size(), value);
    const bool whole = code == std::errc() && end == body.data() + body.size() && !body.empty();
    return whole && std::isfinite(value) ? ParsedNumber{.ok = true, .value = value} : ParsedNumber{};
}

} // namespace trenchwright
