#include "gis_fixtures.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/raster.hpp"
#include "trenchwright/gis/system.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace trenchwright;
using namespace fixtures;
namespace fs = std::filesystem;

namespace {

/// 40 x 30 cells of 2 units from (x0, y0); the value is the plane 100 + 0.02 x - 0.015 y of the offsets
/// (docs/sources.md, Z1), the cell at the lower left is a sentinel.
fs::path plane(const fs::path& file, double x0, double y0)
{
    std::string text = "ncols 40\nnrows 30\nxllcorner " + std::to_string(x0) + "\nyllcorner " + std::to_string(y0) +
                       "\ncellsize 2\nNODATA_value -9999\n";
    for (int row = 29; row >= 0; --row) {
        for (int col = 0; col < 40; ++col) {
            const double value = 100 + 0.02 * (2 * col + 1) - 0.015 * (2 * row + 1);
            text += row == 0 && col == 0 ? "-9999 " : std::to_string(value) + " ";
        }
        text += "\n";
    }
    return write_text(file, text);
}

double at(const Raster& raster, int col, int row)
{
    return raster
        .elev_m[static_cast<std::size_t>(row) * static_cast<std::size_t>(raster.cols) + static_cast<std::size_t>(col)];
}

} // namespace

TEST_CASE("a grid is read in its own cells, lowest row first", "[gis]")
{
    const auto dir = folder("raster");
    plane(dir / "dem.asc", 0, 0);
    const auto frame = tape_frame(LengthUnit::foot);
    const RasterSource source{
        .file = dir / "dem.asc", .crs = "", .unit_m = 0.3048, .nodata = {}, .window = {0, 0, 80 * 0.3048, 60 * 0.3048}};
    const auto raster = read_raster(source, frame);
    REQUIRE(raster.cols == 40);
    REQUIRE(raster.rows == 30);
    CHECK(raster.origin.x_m == Approx(0.3048));
    CHECK(raster.origin.y_m == Approx(0.3048));
    CHECK(raster.step_row.y_m == Approx(2 * 0.3048));
    CHECK(std::isnan(at(raster, 0, 0)));
    CHECK(at(raster, 10, 4) == Approx((100 + 0.02 * 21 - 0.015 * 9) * 0.3048).epsilon(1e-6));
    // A window takes what it touches and two cells more.
    auto part = source;
    part.window = {20.5 * 0.3048, 20.5 * 0.3048, 29.5 * 0.3048, 23.5 * 0.3048};
    const auto cut = read_raster(part, frame);
    CHECK(cut.cols == 9);
    CHECK(cut.rows == 6);
    CHECK(at(cut, 0, 0) == Approx(at(raster, 8, 8)));
    part.window = {1000, 1000, 1010, 1010};
    CHECK(error_of([&] { read_raster(part, frame); }).find("does not reach") != std::string::npos);
}

TEST_CASE("a grid of another system is turned, not resampled", "[gis]")
{
    const auto dir = folder("raster_turned");
    // NAD83 / UTM 19N over the same ground as EPSG:2249 in US survey feet.
    const NativePoint lon_lat{-71.11, 42.366};
    const Transform to_utm(system_facts("EPSG:4269").wkt, system_facts("EPSG:26919").wkt, lon_lat);
    const Transform to_feet(system_facts("EPSG:4269").wkt, system_facts("EPSG:2249").wkt, lon_lat);
    const auto utm = to_utm(lon_lat);
    plane(dir / "dem.asc", std::floor(utm.x) - 40, std::floor(utm.y) - 30);
    raster_translate(dir / "dem.asc", dir / "dem.tif", {"-of", "GTiff", "-a_srs", "EPSG:26919"});
    const auto before = snapshot(dir);
    const auto frame = frame_in("EPSG:2249", to_feet(lon_lat));
    const RasterSource source{
        .file = dir / "dem.tif", .crs = "", .unit_m = 1, .nodata = {}, .window = {-10, -10, 10, 10}};
    const auto raster = read_raster(source, frame);
    CHECK(snapshot(dir) == before);
    // Every cell center, brought back to UTM by an independent way, is a center of the file's grid and holds its value.
    const Transform back(frame.wkt, system_facts("EPSG:26919").wkt, to_feet(lon_lat));
    for (int row = 0; row < raster.rows; row += 3) {
        for (int col = 0; col < raster.cols; col += 3) {
            const Point p{raster.origin.x_m + col * raster.step_col.x_m + row * raster.step_row.x_m,
                          raster.origin.y_m + col * raster.step_col.y_m + row * raster.step_row.y_m};
            const auto native = back(to_native(frame, p));
            const double dx = native.x - (std::floor(utm.x) - 40);
            const double dy = native.y - (std::floor(utm.y) - 30);
            CHECK(std::abs(dx - (2 * std::floor(dx / 2) + 1)) < 0.006);
            CHECK(at(raster, col, row) == Approx(100 + 0.02 * dx - 0.015 * dy).margin(2e-4));
        }
    }
}

TEST_CASE("grids that ask too much or say too little are refused", "[gis]")
{
    const auto dir = folder("raster_bad");
    plane(dir / "dem.asc", 0, 0);
    const auto frame = frame_in("EPSG:2249", {760000, 2960000});
    RasterSource source{.file = dir / "dem.asc", .crs = "", .unit_m = 1, .nodata = {}, .window = {0, 0, 10, 10}};
    CHECK(error_of([&] { read_raster(source, frame); }).find("states no coordinate system") != std::string::npos);
    const auto tape = tape_frame(LengthUnit::meter);
    CHECK(error_of([&] { read_raster(source, tape, {.raster_cells = 10}); }).find("limit is 10") != std::string::npos);
    CHECK(error_of([&] { read_raster(source, tape, {.block_bytes = 100}); }).find("limit is 100") != std::string::npos);
    // docs/sources.md, X8: VRT text named .tif.
    source.file = write_text(dir / "a.tif", "<VRTDataset rasterXSize=\"2\" rasterYSize=\"2\"></VRTDataset>");
    CHECK(error_of([&] { read_raster(source, tape); }).find("a.tif") != std::string::npos);
    source.file = "/vsicurl/http://example.invalid/a.tif";
    CHECK(error_of([&] { read_raster(source, tape); }).find("local disk") != std::string::npos);
    // A picture is no ground.
    raster_translate(dir / "dem.asc", dir / "rgb.tif", {"-b", "1", "-b", "1", "-b", "1"});
    source.file = dir / "rgb.tif";
    CHECK(error_of([&] { read_raster(source, tape); }).find("3 bands") != std::string::npos);
}
