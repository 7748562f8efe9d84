#include "draw/png_file.hpp"

#include <catch2/catch.hpp>
#include <cpl_vsi.h>
#include <functional>
#include <gdal_priv.h>
#include <random>
#include <vector>

using namespace trenchwright;

namespace {

using Colours = std::function<std::uint32_t(std::size_t col, std::size_t row)>;

struct Picture {
    std::size_t cols = 0;
    std::size_t rows = 0;
    std::vector<std::uint32_t> rgb;
    friend bool operator==(const Picture&, const Picture&) = default;
};

Picture made(std::size_t cols, std::size_t rows, const Colours& colours)
{
    Picture picture{cols, rows, {}};
    for (std::size_t i = 0; i < cols * rows; ++i) {
        picture.rgb.push_back(colours(i % cols, i / cols));
    }
    return picture;
}

std::string packed(const Picture& picture)
{
    return png_file({.rgb = picture.rgb, .cols = picture.cols, .stride = picture.cols});
}

/// What GDAL's PNG driver, the reference, reads from the bytes; nothing where it finds a fault in them.
Picture read(std::string bytes)
{
    GDALAllRegister();
    const std::string name = "/vsimem/test.png";
    auto* data = reinterpret_cast<GByte*>(bytes.data());
    VSIFCloseL(VSIFileFromMemBuffer(name.c_str(), data, bytes.size(), FALSE));
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLErrorReset();
    Picture picture;
    {
        const GDALDatasetUniquePtr dataset{GDALDataset::Open(name.c_str(), GDAL_OF_RASTER)};
        const int cols = dataset ? dataset->GetRasterXSize() : 0;
        const int rows = dataset ? dataset->GetRasterYSize() : 0;
        picture = made(static_cast<std::size_t>(cols), static_cast<std::size_t>(rows), [](auto, auto) { return 0; });
        for (int band = 1; dataset && band <= 3; ++band) {
            std::vector<std::uint8_t> parts(picture.rgb.size());
            CHECK(dataset->GetRasterCount() == 3);
            const auto done = dataset->GetRasterBand(band)->RasterIO(GF_Read, 0, 0, cols, rows, parts.data(), cols,
                                                                     rows, GDT_Byte, 0, 0, nullptr);
            picture = done == CE_None ? picture : Picture{};
            for (std::size_t i = 0; i < picture.rgb.size(); ++i) {
                picture.rgb[i] = picture.rgb[i] << 8 | parts[i];
            }
        }
    }
    const bool sound = CPLGetLastErrorType() == CE_None;
    CPLPopErrorHandler();
    VSIUnlink(name.c_str());
    return sound ? picture : Picture{};
}

} // namespace

TEST_CASE("another program reads every dot of a packed picture", "[png]")
{
    std::mt19937 random(11);
    std::vector<std::uint32_t> motif(40);
    for (auto& dot : motif) {
        dot = random() & 0xFFFFFF;
    }
    const std::vector<Colours> kinds{
        [](auto, auto) { return 0xFFFFFF; },                                      // blank
        [&](auto, auto) { return random() & 0xFFFFFF; },                          // noise: nothing to copy
        [](auto col, auto) { return col / 7 % 2 == 0 ? 0x1C2430 : 0xFFFFFF; },    // alike from row to row
        [](auto col, auto row) { return (col + row) % 9 == 0 ? 0x6B2E12 : 0; },   // a hatch
        [&](auto col, auto row) { return motif[(col + 13 * row) % 40]; },         // the same again some way off
        [&](auto col, auto) { return random() % 5 == 0 ? motif[col % 40] : 0x1; } // short copies
    };
    // 12000 dots are more bytes than a copy may go back.
    const std::vector<std::pair<std::size_t, std::size_t>> sizes{{1, 1},  {1, 300},  {86, 4},
                                                                 {87, 4}, {333, 50}, {12000, 3}};
    for (const auto& [cols, rows] : sizes) {
        for (const auto& colours : kinds) {
            const auto picture = made(cols, rows, colours);
            CHECK(read(packed(picture)) == picture);
        }
    }
}

TEST_CASE("the reader of packed pictures notices a wrong byte", "[png]")
{
    const auto bytes = packed(made(50, 50, [](auto col, auto row) { return col * row; }));
    REQUIRE(read(bytes).cols == 50);
    for (const std::size_t from_end : {13U, 17U, 60U}) { // the sums of chunk and of stream, and a packed row
        auto wrong = bytes;
        wrong[wrong.size() - from_end] ^= 1;
        CHECK(read(wrong).cols == 0);
    }
}

TEST_CASE("what lies beside a picture or in the highest byte of a dot is not packed", "[png]")
{
    const auto picture = made(20, 30, [](auto col, auto row) { return col % 3 == 0 ? row : 0xABCDEF; });
    Picture wider = made(23, 30, [&](auto col, auto row) {
        return col < 20 ? picture.rgb[20 * row + col] | static_cast<std::uint32_t>(col + row) << 24 : 0x123456;
    });
    CHECK(png_file({.rgb = wider.rgb, .cols = 20, .stride = 23}) == packed(picture));
}

TEST_CASE("a blank page packs to less than a fiftieth", "[png]")
{
    CHECK(packed(made(1000, 1000, [](auto, auto) { return 0xFFFFFF; })).size() < 3 * 1000 * 1000 / 50);
}
