#include "base/error.hpp"
#include "draw/plan_sheet.hpp"
#include "draw/record_sheet.hpp"
#include "export/geo_pdf.hpp"
#include "export/pdf_update.hpp"
#include "export_fixture.hpp"
#include "gis/system.hpp"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>
#include <string>
#include <vector>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

constexpr double dots_per_in = 300;

std::filesystem::path lot_folder(const std::string& lot)
{
    return std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot;
}

JobPlan planned(const std::string& lot, const std::vector<std::pair<std::string, std::string>>& rules = {},
                const std::string& outlet = "")
{
    auto job = read_job(lot_folder(lot) / "job.toml");
    for (const auto& [key, text] : rules) {
        set_rule(job.rules, key, text);
    }
    job.sheet.outlet = outlet;
    return plan_job(std::move(job));
}

using Places = std::vector<NativePoint>;

void add_places(const OGRGeometry& shape, Places& places)
{
    if (const auto* area = dynamic_cast<const OGRPolygon*>(&shape)) {
        add_places(*area->getExteriorRing(), places);
    } else if (const auto* line = dynamic_cast<const OGRSimpleCurve*>(&shape)) {
        for (int i = 0; i < line->getNumPoints(); ++i) {
            places.push_back({line->getX(i), line->getY(i)});
        }
    } else if (const auto* many = dynamic_cast<const OGRGeometryCollection*>(&shape)) {
        for (const auto* part : *many) {
            add_places(*part, places);
        }
    }
}

/// A page as GDAL's PDF driver reads it: the figures drawn on it, brought to the earth by what the page says of itself.
struct ReadPage {
    bool placed = false;
    std::string epsg;
    std::string system; ///< empty: none
    double native_per_paper_mm = 0;
    double turned_rad = 0; ///< of the page's right, from the system's east
    std::vector<Places> figures;
};

struct ReadQuietly {
    ReadQuietly()
    {
        GDALAllRegister();
        CPLPushErrorHandler(CPLQuietErrorHandler);
        CPLSetConfigOption("OGR_PDF_READ_NON_STRUCTURED", "YES");
        CPLSetConfigOption("GDAL_PDF_DPI", std::to_string(static_cast<int>(dots_per_in)).c_str());
    }
    ~ReadQuietly()
    {
        CPLPopErrorHandler();
        CPLSetConfigOption("OGR_PDF_READ_NON_STRUCTURED", nullptr);
        CPLSetConfigOption("GDAL_PDF_DPI", nullptr);
    }
    ReadQuietly(const ReadQuietly&) = delete;
    ReadQuietly& operator=(const ReadQuietly&) = delete;
    ReadQuietly(ReadQuietly&&) = delete;
    ReadQuietly& operator=(ReadQuietly&&) = delete;
};

ReadPage read_page(GDALDataset& dataset)
{
    ReadPage page;
    std::array<double, 6> to_native{};
    page.placed =
        dataset.GetGeoTransform(to_native.data()) == CE_None && dataset.GetMetadataItem("NEATLINE") != nullptr;
    page.native_per_paper_mm = std::hypot(to_native[1], to_native[4]) * dots_per_in / 25.4;
    page.turned_rad = std::atan2(to_native[4], to_native[1]);
    if (const auto* system = dataset.GetSpatialRef()) {
        page.system = system->GetName();
        page.epsg = system->GetAuthorityCode(nullptr) == nullptr ? "" : system->GetAuthorityCode(nullptr);
    }
    for (auto* layer : dataset.GetLayers()) {
        for (const auto& feature : *layer) {
            page.figures.emplace_back();
            add_places(*feature->GetGeometryRef(), page.figures.back());
        }
    }
    return page;
}

std::vector<ReadPage> read_pages(const std::string& pdf)
{
    const ReadQuietly quiet;
    const TestFolder folder;
    put(folder / "sheet.pdf", pdf);
    const char* const drivers[] = {"PDF", nullptr};
    std::vector<ReadPage> pages;
    for (int number = 1;; ++number) {
        const auto name = "PDF:" + std::to_string(number) + ":" + (folder / "sheet.pdf").string();
        const GDALDatasetUniquePtr dataset{GDALDataset::Open(
            name.c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, nullptr, nullptr)};
        if (!dataset) {
            return pages;
        }
        pages.push_back(read_page(*dataset));
    }
}

/// The corners of every lot as the file has them.
std::vector<Places> lots_in(const std::string& lot, const std::string& file, const std::string& layer)
{
    GDALAllRegister();
    const GDALDatasetUniquePtr dataset{
        GDALDataset::Open((lot_folder(lot) / file).c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY)};
    REQUIRE(dataset);
    auto* rows = dataset->GetLayerByName(layer.c_str());
    REQUIRE(rows != nullptr);
    std::vector<Places> lots;
    for (const auto& row : *rows) {
        lots.emplace_back();
        add_places(*row->GetGeometryRef(), lots.back());
        REQUIRE(lots.back().size() >= 4);
    }
    return lots;
}

std::vector<Places> quillet_lots()
{
    return lots_in("quillet-lane", "lots.gpkg", "lots");
}

std::vector<Places> brinkholt_lots()
{
    return lots_in("brinkholt", "lot.gpkg", "parcels");
}

/// One figure of the page has a corner within half a millimetre on paper of each of these.
bool draws(const ReadPage& page, const Places& corners, double aside_mm = 0)
{
    const double within = 0.5 * page.native_per_paper_mm;
    const double aside = aside_mm * page.native_per_paper_mm;
    return std::ranges::any_of(page.figures, [&](const Places& figure) {
        return std::ranges::all_of(corners, [&](const NativePoint& corner) {
            return std::ranges::any_of(figure, [&](const NativePoint& place) {
                return std::hypot(place.x - corner.x - aside, place.y - corner.y) <= within;
            });
        });
    });
}

std::ptrdiff_t drawn_of(const std::vector<Places>& lots, const ReadPage& page, double aside_mm = 0)
{
    return std::ranges::count_if(lots, [&](const Places& lot) { return draws(page, lot, aside_mm); });
}

std::size_t placed_among(const std::vector<ReadPage>& pages)
{
    return static_cast<std::size_t>(std::ranges::count_if(pages, [](const ReadPage& page) { return page.placed; }));
}

ErrorKind kind_of_fault(const std::string& pdf)
{
    try {
        with_page_entries(pdf, {"/VP [ ]"});
    } catch (const Error& error) {
        return error.kind();
    }
    FAIL("no error");
    return ErrorKind::usage;
}

} // namespace

// The reference is GDAL's PDF driver: it finds the viewport, the system and the corners by ISO 32000-2, 12.10 and reads
// the drawn figures through them; the lots' corners come from their own file.

TEST_CASE("a PDF sheet lies on the earth where the lot's file says, in US survey feet", "[geo_pdf]")
{
    const auto plan = planned("quillet-lane");
    const auto pages = read_pages(with_places(sheet_files(plan).pdf, plan));
    REQUIRE(pages.size() > 1);
    CHECK(placed_among(pages) == 1);
    CHECK(pages[0].epsg == "3435");
    CHECK(drawn_of(quillet_lots(), pages[0]) >= 3);
    CHECK(drawn_of(quillet_lots(), pages[0], 2) == 0); // no figure happens to lie 2 mm off
}

TEST_CASE("a PDF sheet lies on the earth where the lot's file says, in metres of EPSG:25832", "[geo_pdf]")
{
    const auto plan = planned("brinkholt");
    const auto pages = read_pages(with_places(sheet_files(plan).pdf, plan));
    REQUIRE(!pages.empty());
    CHECK(pages[0].epsg == "25832");
    CHECK(drawn_of(brinkholt_lots(), pages[0]) >= 2);
    CHECK(drawn_of(brinkholt_lots(), pages[0], 2) == 0);
}

TEST_CASE("every plan of several sheets has its own place, turned as it is drawn", "[geo_pdf]")
{
    const std::string turn = GENERATE("north up", "along the trench");
    const auto plan = planned(
        "quillet-lane", {{"sheet.paper", "letter"}, {"sheet.plan_scales_us", "5"}, {"sheet.turn", turn}}, "inlet");
    const auto drawn = sheet_files(plan).pdf;
    const auto pages = read_pages(with_places(drawn, plan));
    const auto lots = quillet_lots();
    INFO(turn);
    CHECK(drawn.plans.size() > 1);
    CHECK(placed_among(pages) == drawn.plans.size());
    for (const auto& page : pages) {
        CHECK((!page.placed || (drawn_of(lots, page) > 0 && drawn_of(lots, page, 2) == 0)));
        CHECK((!page.placed || (std::abs(page.turned_rad) < 0.001) == (turn == "north up")));
        // 1 in = 5 ft; the system's unit is the US survey foot, 1 ft = 0.999998 of it.
        CHECK((!page.placed || std::abs(page.native_per_paper_mm * 25.4 / 5 - 1) < 0.001));
    }
}

TEST_CASE("a record has the place of its plan too", "[geo_pdf]")
{
    const auto plan = planned("brinkholt", {}, "ditch");
    std::vector<MeasuredTrench> measured;
    for (const auto* trench : trenches_of(&plan.outcomes[0])) {
        measured.push_back({.trench = trench, .number = measured.size() + 1, .inverts = {}});
    }
    REQUIRE(!measured.empty());
    const auto pages = read_pages(with_places(record_files(plan, measured).pdf, plan));
    REQUIRE(!pages.empty());
    CHECK(drawn_of(brinkholt_lots(), pages[0]) >= 2);
}

TEST_CASE("a system without a number is told in words", "[geo_pdf]")
{
    // The tape lot's metres taken as those of a map made for the place: its corners are then known in it.
    auto plan = planned("tape");
    const auto frame = frame_in("EPSG:4258", {.x = 7.4, .y = 55.6});
    const auto drawn = sheet_files(plan).pdf;
    plan.site.frame = frame;
    const auto pages = read_pages(with_places(drawn, plan));
    Places corners;
    for (const auto& corner : plan.site.parcel[0].outer) {
        corners.push_back(to_native(frame, corner));
    }
    REQUIRE(!pages.empty());
    CHECK(pages[0].system.find("transverse Mercator at 55.6000, 7.4000") != std::string::npos);
    CHECK(pages[0].epsg.empty());
    CHECK(draws(pages[0], corners));
}

TEST_CASE("a PDF without a known place on the earth stays as it was", "[geo_pdf]")
{
    auto plan = planned("tape");
    const auto drawn = sheet_files(plan).pdf;
    CHECK(!drawn.plans.empty());
    CHECK(with_places(drawn, plan) == drawn.bytes);
    CHECK(drawn.bytes.find("/VP") == std::string::npos);
    CHECK(placed_among(read_pages(drawn.bytes)) == 0);
    // A datum nobody has named.
    plan.site.frame = frame_in("+proj=tmerc +lat_0=55.6 +lon_0=7.4 +ellps=bessel +units=m +type=crs", {});
    CHECK(with_places(drawn, plan) == drawn.bytes);
}

TEST_CASE("places are added behind the drawing, which stays as it is, and are the same twice", "[geo_pdf]")
{
    const auto plan = planned("brinkholt");
    const auto drawn = sheet_files(plan).pdf;
    const auto placed = with_places(drawn, plan);
    CHECK(placed.size() > drawn.bytes.size());
    CHECK(placed.starts_with(drawn.bytes)); // ISO 32000-2, 7.5.6
    CHECK(with_places(sheet_files(plan).pdf, plan) == placed);
    CHECK(with_page_entries(drawn.bytes, {}) == drawn.bytes);
    CHECK(with_page_entries(drawn.bytes, {""}) == drawn.bytes);
}

TEST_CASE("a PDF that is not written as expected is refused, never mended", "[geo_pdf]")
{
    const auto bytes = sheet_files(planned("tape")).pdf.bytes;
    const auto without = [&](const std::string& part) {
        auto text = bytes;
        const auto at = text.rfind(part);
        REQUIRE(at != std::string::npos);
        return text.replace(at, part.size(), std::string(part.size(), ' '));
    };
    CHECK(with_page_entries(bytes, {"/VP [ ]"}).size() > bytes.size());
    CHECK(kind_of_fault("") == ErrorKind::internal);
    CHECK(kind_of_fault("%PDF-1.4\nstartxref\n99999999999999999999999\n%%EOF\n") == ErrorKind::internal);
    CHECK(kind_of_fault(" " + bytes) == ErrorKind::internal); // every offset is one off
    CHECK(kind_of_fault(bytes.substr(0, bytes.size() - 1)) == ErrorKind::internal);
    CHECK(kind_of_fault(bytes.substr(0, bytes.size() / 2)) == ErrorKind::internal);
    CHECK(kind_of_fault(bytes + bytes.substr(bytes.size() / 2)) == ErrorKind::internal);
    CHECK(kind_of_fault(with_page_entries(bytes, {"/VP [ ]"})) == ErrorKind::internal); // updated already
    for (const auto* const part : {"trailer", "/Root", "/Kids", "/Type /Page ", "xref\n0 ", "%%EOF"}) {
        INFO(part);
        CHECK(kind_of_fault(without(part)) == ErrorKind::internal);
    }
    CHECK_THROWS_AS(with_page_entries(bytes, std::vector<std::string>(99, "/VP [ ]")), Error);
}
