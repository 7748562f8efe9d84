#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

/// Files for the tests of gis and site. Every driver of GDAL is registered first, as a host program might do, so that
/// a refusal is the library's own.
namespace fixtures {

/// A fresh folder of this name under the build folder.
std::filesystem::path folder(const std::string& name);

std::filesystem::path write_text(const std::filesystem::path& file, const std::string& text);
std::string read_bytes(const std::filesystem::path& file);

/// ogr2ogr and gdal_translate of the linked GDAL.
void vector_translate(const std::filesystem::path& from, const std::filesystem::path& to,
                      const std::vector<std::string>& options);
void raster_translate(const std::filesystem::path& from, const std::filesystem::path& to,
                      const std::vector<std::string>& options);

/// First column of the first row.
std::string sql_value(const std::filesystem::path& gpkg, const std::string& sql);

/// Text of the Error that is thrown; fails the test when none is.
std::string error_of(const std::function<void()>& action);

/// A GeoJSON collection around features; crs like "EPSG:2229", empty for none.
std::string collection(const std::vector<std::string>& features, const std::string& crs = "");

/// Names, sizes and times of a folder's files: what a reader must not change.
std::string snapshot(const std::filesystem::path& folder);

} // namespace fixtures
