#include "gis_fixtures.hpp"

#include "trenchwright/base/error.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <gdal_priv.h>
#include <gdal_utils.h>
#include <iterator>
#include <ogrsf_frmts.h>
#include <set>

namespace fs = std::filesystem;

namespace fixtures {

namespace {

std::vector<char*> arguments(const std::vector<std::string>& options)
{
    std::vector<char*> list;
    for (const auto& option : options) {
        list.push_back(const_cast<char*>(option.c_str()));
    }
    list.push_back(nullptr);
    return list;
}

GDALDatasetH open(const fs::path& file, unsigned flags)
{
    GDALAllRegister();
    GDALDatasetH dataset = GDALOpenEx(file.string().c_str(), flags, nullptr, nullptr, nullptr);
    INFO(file);
    REQUIRE(dataset != nullptr);
    return dataset;
}

} // namespace

fs::path folder(const std::string& name)
{
    GDALAllRegister();
    const auto path = fs::path(TRENCHWRIGHT_BINARY_DIR) / "tests" / "tmp" / name;
    fs::remove_all(path);
    fs::create_directories(path);
    return path;
}

fs::path write_text(const fs::path& file, const std::string& text)
{
    std::ofstream(file, std::ios::binary) << text;
    return file;
}

std::string read_bytes(const fs::path& file)
{
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

void vector_translate(const fs::path& from, const fs::path& to, const std::vector<std::string>& options)
{
    GDALDatasetH source = open(from, GDAL_OF_VECTOR);
    auto list = arguments(options);
    auto* const parsed = GDALVectorTranslateOptionsNew(list.data(), nullptr);
    int fault = 0;
    GDALDatasetH made = GDALVectorTranslate(to.string().c_str(), nullptr, 1, &source, parsed, &fault);
    GDALVectorTranslateOptionsFree(parsed);
    REQUIRE(made != nullptr);
    GDALClose(made);
    GDALClose(source);
}

void raster_translate(const fs::path& from, const fs::path& to, const std::vector<std::string>& options)
{
    GDALDatasetH source = open(from, GDAL_OF_RASTER);
    auto list = arguments(options);
    auto* const parsed = GDALTranslateOptionsNew(list.data(), nullptr);
    int fault = 0;
    GDALDatasetH made = GDALTranslate(to.string().c_str(), source, parsed, &fault);
    GDALTranslateOptionsFree(parsed);
    REQUIRE(made != nullptr);
    GDALClose(made);
    GDALClose(source);
}

std::string sql_value(const fs::path& gpkg, const std::string& sql)
{
    auto* const dataset = GDALDataset::FromHandle(open(gpkg, GDAL_OF_VECTOR));
    auto* const rows = dataset->ExecuteSQL(sql.c_str(), nullptr, nullptr);
    REQUIRE(rows != nullptr);
    std::string value;
    {
        const std::unique_ptr<OGRFeature> row{rows->GetNextFeature()};
        REQUIRE(row);
        value = row->GetFieldAsString(0);
    }
    dataset->ReleaseResultSet(rows);
    GDALClose(GDALDataset::ToHandle(dataset));
    return value;
}

std::string error_of(const std::function<void()>& action)
{
    try {
        action();
    } catch (const trenchwright::Error& error) {
        CHECK(error.kind() == trenchwright::ErrorKind::input);
        return error.what();
    }
    FAIL("no error");
    return {};
}

std::string collection(const std::vector<std::string>& features, const std::string& crs)
{
    std::string text = R"({"type":"FeatureCollection")";
    if (!crs.empty()) {
        text += R"(,"crs":{"type":"name","properties":{"name":")" + crs + R"("}})";
    }
    text += R"(,"features":[)";
    for (std::size_t i = 0; i < features.size(); ++i) {
        text += (i == 0 ? "" : ",") + features[i];
    }
    return text + "]}";
}

std::string snapshot(const fs::path& folder)
{
    std::set<std::string> lines;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        lines.insert(entry.path().string() + " " + std::to_string(entry.is_regular_file() ? entry.file_size() : 0) +
                     " " + std::to_string(entry.last_write_time().time_since_epoch().count()));
    }
    std::string text;
    for (const auto& line : lines) {
        text += line + "\n";
    }
    return text;
}

} // namespace fixtures
