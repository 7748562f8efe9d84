#include "trenchwright/gis/raster.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/messages.hpp"
#include "trenchwright/gis/system.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <gdal_priv.h>
#include <limits>
#include <memory>

namespace trenchwright {

namespace {

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(GDALDataset::ToHandle(dataset)); }
};
using DatasetPtr = std::unique_ptr<GDALDataset, CloseDataset>;

[[noreturn]] void stop(const RasterSource& source, const std::string& text)
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", source.file.string(), text));
}

DatasetPtr open(const RasterSource& source, const ReadLimits& limits, const GdalMessages& messages)
{
    const auto driver = driver_for(source.file, FileKind::raster, limits);
    const char* const drivers[] = {driver.c_str(), nullptr};
    const auto name = std::filesystem::absolute(source.file).string();
    DatasetPtr dataset{GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, drivers)};
    if (!dataset) {
        stop(source, "cannot be read: " + messages.reason("not a " + driver + " file"));
    }
    return dataset;
}

/// Before any pixel is read: a tiny file may declare blocks of gigabytes.
void require_modest(GDALDataset& dataset, const RasterSource& source, const ReadLimits& limits)
{
    if (dataset.GetRasterCount() != 1) {
        stop(source, fmt::format("{} bands; an elevation grid has one", dataset.GetRasterCount()));
    }
    auto& band = *dataset.GetRasterBand(1);
    if (GDALDataTypeIsComplex(band.GetRasterDataType()) != 0) {
        stop(source, "complex numbers are no elevations");
    }
    int block_cols = 0;
    int block_rows = 0;
    band.GetBlockSize(&block_cols, &block_rows);
    const auto bytes = static_cast<std::size_t>(block_cols) * static_cast<std::size_t>(block_rows) *
                       static_cast<std::size_t>(GDALGetDataTypeSizeBytes(band.GetRasterDataType()));
    if (bytes > limits.block_bytes) {
        stop(source, fmt::format("blocks of {} x {} cells take {} bytes, the limit is {}", block_cols, block_rows,
                                 bytes, limits.block_bytes));
    }
}

std::string system_of(GDALDataset& dataset, const RasterSource& source)
{
    if (!source.crs.empty()) {
        return system_facts(source.crs).wkt;
    }
    const auto* const srs = dataset.GetSpatialRef();
    if (srs == nullptr || srs->IsLocal() != 0) {
        stop(source, "states no coordinate system; state it with `crs`");
    }
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    srs->exportToWkt(&text, options);
    const std::string wkt = text == nullptr ? "" : text;
    CPLFree(text);
    return system_facts(wkt).wkt;
}

/// Cell to site and back.
struct Grid {
    std::array<double, 6> to_native{};
    std::array<double, 6> from_native{};
    std::function<Point(NativePoint)> site;
    std::function<NativePoint(Point)> native;
};

NativePoint applied(const std::array<double, 6>& t, double u, double v)
{
    return {.x = t[0] + u * t[1] + v * t[2], .y = t[3] + u * t[4] + v * t[5]};
}

Point cell_center(const Grid& grid, double col, double row)
{
    return grid.site(applied(grid.to_native, col + 0.5, row + 0.5));
}

Grid grid_of(GDALDataset& dataset, const RasterSource& source, const Frame& frame)
{
    Grid grid;
    if (dataset.GetGeoTransform(grid.to_native.data()) != CE_None ||
        GDALInvGeoTransform(grid.to_native.data(), grid.from_native.data()) == 0) {
        stop(source, "has no place (no georeference)");
    }
    const auto system = frame.wkt.empty() ? std::string() : system_of(dataset, source);
    if (system == frame.wkt) {
        grid.site = [&frame](NativePoint p) { return to_site(frame, p.x, p.y); };
        grid.native = [&frame](Point p) { return to_native(frame, p); };
        return grid;
    }
    const Point window_middle{.x_m = (source.window.min_x_m + source.window.max_x_m) / 2,
                              .y_m = (source.window.min_y_m + source.window.max_y_m) / 2};
    const auto back = std::make_shared<Transform>(frame.wkt, system, to_native(frame, window_middle));
    const auto forth = std::make_shared<Transform>(system, frame.wkt, (*back)(to_native(frame, window_middle)));
    grid.site = [forth, &frame](NativePoint p) {
        const auto native = (*forth)(p);
        return to_site(frame, native.x, native.y);
    };
    grid.native = [back, &frame](Point p) { return (*back)(to_native(frame, p)); };
    return grid;
}

struct Window {
    int col = 0;
    int row = 0;
    int cols = 0;
    int rows = 0;
};

Window cells_of(const Grid& grid, GDALDataset& dataset, const RasterSource& source, const ReadLimits& limits)
{
    double low_col = std::numeric_limits<double>::infinity();
    double low_row = low_col;
    double high_col = -low_col;
    double high_row = -low_col;
    const auto& box = source.window;
    for (const Point corner : {Point{box.min_x_m, box.min_y_m}, Point{box.max_x_m, box.min_y_m},
                               Point{box.max_x_m, box.max_y_m}, Point{box.min_x_m, box.max_y_m}}) {
        const auto native = grid.native(corner);
        const auto [col, row] = applied(grid.from_native, native.x, native.y);
        low_col = std::min(low_col, col);
        high_col = std::max(high_col, col);
        low_row = std::min(low_row, row);
        high_row = std::max(high_row, row);
    }
    const auto clip = [](double value, int size) {
        return static_cast<int>(std::clamp(value, 0.0, static_cast<double>(size)));
    };
    const int first_col = clip(std::floor(low_col) - 2, dataset.GetRasterXSize());
    const int first_row = clip(std::floor(low_row) - 2, dataset.GetRasterYSize());
    const int end_col = clip(std::ceil(high_col) + 2, dataset.GetRasterXSize());
    const int end_row = clip(std::ceil(high_row) + 2, dataset.GetRasterYSize());
    const Window window{.col = first_col, .row = first_row, .cols = end_col - first_col, .rows = end_row - first_row};
    if (window.cols < 2 || window.rows < 2) {
        stop(source, "the grid does not reach the site");
    }
    if (static_cast<std::size_t>(window.cols) * static_cast<std::size_t>(window.rows) > limits.raster_cells) {
        stop(source, fmt::format("{} x {} cells over the site, the limit is {}", window.cols, window.rows,
                                 limits.raster_cells));
    }
    return window;
}

/// Elevation in meters, NaN for none.
double elevation_m(double value, const RasterSource& source, std::optional<double> declared, double scale,
                   double offset)
{
    const bool none =
        std::isnan(value) || (declared && value == *declared) || (source.nodata && value == *source.nodata);
    return none ? std::numeric_limits<double>::quiet_NaN() : (value * scale + offset) * source.unit_m;
}

std::vector<double> elevations_m(GDALDataset& dataset, const Window& window, const RasterSource& source,
                                 const GdalMessages& messages)
{
    auto& band = *dataset.GetRasterBand(1);
    std::vector<double> cells(static_cast<std::size_t>(window.cols) * static_cast<std::size_t>(window.rows));
    if (band.RasterIO(GF_Read, window.col, window.row, window.cols, window.rows, cells.data(), window.cols, window.rows,
                      GDT_Float64, 0, 0) != CE_None ||
        !messages.failures().empty()) {
        stop(source, "cannot be read: " + messages.reason("damaged"));
    }
    int declares = 0;
    const double declared = band.GetNoDataValue(&declares);
    for (auto& cell : cells) {
        cell = elevation_m(cell, source, declares != 0 ? std::optional(declared) : std::nullopt, band.GetScale(),
                           band.GetOffset());
        if (std::isinf(cell)) {
            stop(source, "an elevation is infinite");
        }
    }
    return cells;
}

void require_plane(const Grid& grid, const Window& window, const Raster& raster, const RasterSource& source)
{
    for (const double u : {0.0, 0.5, 1.0}) {
        for (const double v : {0.0, 0.5, 1.0}) {
            const double col = u * (window.cols - 1);
            const double row = v * (window.rows - 1);
            const auto exact = cell_center(grid, window.col + col, window.row + row);
            const double x_m = raster.origin.x_m + col * raster.step_col.x_m + row * raster.step_row.x_m;
            const double y_m = raster.origin.y_m + col * raster.step_col.y_m + row * raster.step_row.y_m;
            const double off_m = std::hypot(exact.x_m - x_m, exact.y_m - y_m);
            if (!(off_m <= raster_plane_limit_m)) {
                stop(source, fmt::format("over the site its cells are {:.3f} m off a plane grid in the site's system; "
                                         "bring it to that system first",
                                         off_m));
            }
        }
    }
}

/// Row 0 at the lowest y: most files begin at the top.
void turn_upward(Raster& raster)
{
    if (raster.step_row.y_m >= 0) {
        return;
    }
    const auto cols = static_cast<std::ptrdiff_t>(raster.cols);
    for (std::ptrdiff_t low = 0, high = raster.rows - 1; low < high; ++low, --high) {
        std::swap_ranges(raster.elev_m.begin() + low * cols, raster.elev_m.begin() + (low + 1) * cols,
                         raster.elev_m.begin() + high * cols);
    }
    raster.origin.x_m += (raster.rows - 1) * raster.step_row.x_m;
    raster.origin.y_m += (raster.rows - 1) * raster.step_row.y_m;
    raster.step_row = {.x_m = -raster.step_row.x_m, .y_m = -raster.step_row.y_m};
}

} // namespace

Raster read_raster(const RasterSource& source, const Frame& frame, const ReadLimits& limits)
{
    const GdalMessages messages;
    const auto dataset = open(source, limits, messages);
    require_modest(*dataset, source, limits);
    const auto grid = grid_of(*dataset, source, frame);
    const auto window = cells_of(grid, *dataset, source, limits);
    Raster raster;
    raster.cols = window.cols;
    raster.rows = window.rows;
    raster.origin = cell_center(grid, window.col, window.row);
    const auto last_col = cell_center(grid, window.col + window.cols - 1, window.row);
    const auto last_row = cell_center(grid, window.col, window.row + window.rows - 1);
    raster.step_col = {.x_m = (last_col.x_m - raster.origin.x_m) / (window.cols - 1),
                       .y_m = (last_col.y_m - raster.origin.y_m) / (window.cols - 1)};
    raster.step_row = {.x_m = (last_row.x_m - raster.origin.x_m) / (window.rows - 1),
                       .y_m = (last_row.y_m - raster.origin.y_m) / (window.rows - 1)};
    require_plane(grid, window, raster, source);
    raster.elev_m = elevations_m(*dataset, window, source, messages);
    turn_upward(raster);
    return raster;
}

} // namespace trenchwright
