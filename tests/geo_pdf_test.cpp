#include "export_fixture.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/draw/plan_sheet.hpp"
#include "trenchwright/draw/record_sheet.hpp"
#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/export/geo_pdf.hpp"
#include "trenchwright/export/pdf_update.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/plan/plan.hpp"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <cstdlib>
#include <gdal_priv.h>
#include <memory>
#include <ogrsf_frmts.h>
#include <sstream>
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
    double turned_rad = 0;             ///< of the page's right, from the system's east
    std::array<double, 6> to_native{}; ///< from dots right and down of the upper left corner
    double height_pt = 0;
    double meter_per_native = 1;
    Places frame; ///< of the plan, as the page's measure has it
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
    auto& to_native = page.to_native;
    page.height_pt = dataset.GetRasterYSize() * 72 / dots_per_in;
    page.placed =
        dataset.GetGeoTransform(to_native.data()) == CE_None && dataset.GetMetadataItem("NEATLINE") != nullptr;
    page.native_per_paper_mm = std::hypot(to_native[1], to_native[4]) * dots_per_in / 25.4;
    page.turned_rad = std::atan2(to_native[4], to_native[1]);
    if (const auto* system = dataset.GetSpatialRef()) {
        page.system = system->GetName();
        page.meter_per_native = system->GetLinearUnits();
        page.epsg = system->GetAuthorityCode(nullptr) == nullptr ? "" : system->GetAuthorityCode(nullptr);
    }
    if (const auto* neatline = dataset.GetMetadataItem("NEATLINE")) {
        OGRGeometry* shape = nullptr;
        REQUIRE(OGRGeometryFactory::createFromWkt(neatline, nullptr, &shape) == OGRERR_NONE);
        add_places(*OGRGeometryUniquePtr(shape), page.frame);
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

/// One figure of the page has a corner within half a millimeter on paper of each of these.
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

/// GDAL reads a page's figures only up to its first text, so what stands below the plan is read here: the filled
/// figures of a content stream (ISO 32000-2, 8.5), in points from the page's lower left corner.
class FilledFigures {
  public:
    explicit FilledFigures(const std::string& content)
    {
        std::istringstream words(content);
        for (std::string word; words >> word;) {
            char* end = nullptr;
            const double number = std::strtod(word.c_str(), &end);
            if (end != word.c_str() && *end == 0) {
                numbers_.push_back(number);
            } else {
                obey(word);
                numbers_.clear();
            }
        }
    }
    [[nodiscard]] const std::vector<Places>& figures() const { return figures_; }

  private:
    using Matrix = std::array<double, 6>; // x' = a x + c y + e, y' = b x + d y + f

    void to(double x, double y)
    {
        const auto& m = now_.back();
        path_.back().push_back({m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]});
    }

    void change(const Matrix& by)
    {
        auto& m = now_.back();
        m = {by[0] * m[0] + by[1] * m[2], by[0] * m[1] + by[1] * m[3],        by[2] * m[0] + by[3] * m[2],
             by[2] * m[1] + by[3] * m[3], by[4] * m[0] + by[5] * m[2] + m[4], by[4] * m[1] + by[5] * m[3] + m[5]};
    }

    void obey(const std::string& word)
    {
        const auto& n = numbers_;
        if (word == "q") {
            now_.push_back(now_.back());
        } else if (word == "Q" && now_.size() > 1) {
            now_.pop_back();
        } else if (word == "cm" && n.size() == 6) {
            change({n[0], n[1], n[2], n[3], n[4], n[5]});
        } else if (word == "m" && n.size() == 2) {
            path_.emplace_back();
            to(n[0], n[1]);
        } else if (word == "l" && n.size() == 2 && !path_.empty()) {
            to(n[0], n[1]);
        } else if (word == "c" && n.size() == 6 && !path_.empty()) {
            to(n[4], n[5]);
        } else if (word == "re" && n.size() == 4) {
            path_.emplace_back();
            to(n[0], n[1]);
            to(n[0] + n[2], n[1]);
            to(n[0] + n[2], n[1] + n[3]);
            to(n[0], n[1] + n[3]);
        } else if (word == "f" || word == "f*" || word == "B" || word == "B*") {
            figures_.insert(figures_.end(), path_.begin(), path_.end());
            path_.clear();
        } else if (word == "S" || word == "s" || word == "n") {
            path_.clear();
        }
    }

    std::vector<double> numbers_;
    std::vector<Matrix> now_{{1, 0, 0, 1, 0, 0}};
    std::vector<Places> path_;
    std::vector<Places> figures_;
};

/// The pages' content streams in their order: cairo begins each by turning y down.
std::vector<std::string> contents_of(const std::string& pdf)
{
    std::vector<std::string> found;
    for (auto at = pdf.find("stream\n"); at != std::string::npos; at = pdf.find("stream\n", at + 1)) {
        const auto from = at + 7;
        const auto end = pdf.find("endstream", from);
        std::string text(1U << 22, ' ');
        std::size_t size = 0;
        const bool read = end != std::string::npos &&
                          CPLZLibInflate(pdf.data() + from, end - from, text.data(), text.size(), &size) != nullptr;
        if (read && text.starts_with("1 0 0 -1 0 ")) {
            found.push_back(text.substr(0, size));
        }
    }
    return found;
}

/// The page's filled figures, brought to the earth by what the page says of itself.
void read_fills(ReadPage& page, const std::string& content)
{
    page.figures = FilledFigures(content).figures();
    const auto& g = page.to_native;
    for (auto& figure : page.figures) {
        for (auto& at : figure) {
            const double across = at.x * dots_per_in / 72;
            const double down = (page.height_pt - at.y) * dots_per_in / 72;
            at = {g[0] + across * g[1] + down * g[2], g[3] + across * g[4] + down * g[5]};
        }
    }
}

double turn_at(const Places& ring, std::size_t i)
{
    const auto n = ring.size();
    const auto& [a, b, c] = std::array{ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]};
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
}

/// How far below the plan's frame on the paper, in mm; what is not below it: less than 0.
double below_frame_mm(const ReadPage& page, const NativePoint& at)
{
    const auto down = [&](const NativePoint& p) {
        return (p.x * std::sin(page.turned_rad) - p.y * std::cos(page.turned_rad)) / page.native_per_paper_mm;
    };
    double lowest = -1e300;
    for (const auto& corner : page.frame) {
        lowest = std::max(lowest, down(corner));
    }
    return down(at) - lowest;
}

/// The four corners of a figure that lies in the strip below the plan, 7 mm high: bar and arrow stand there.
std::vector<Places> quads_below(const ReadPage& page)
{
    std::vector<Places> quads;
    for (auto figure : page.figures) {
        if (figure.size() == 5) {
            figure.pop_back(); // the first place again
        }
        const auto in_strip = [&](const NativePoint& at) {
            const double below = below_frame_mm(page, at);
            return below > -0.05 && below < 7.1;
        };
        if (figure.size() == 4 && std::ranges::all_of(figure, in_strip)) {
            quads.push_back(figure);
        }
    }
    return quads;
}

/// Directions of the arrow heads below the plan, as the page's own measure brings them to the earth: anticlockwise from
/// east. A head is a quadrilateral with one corner that turns in; it points from there to the corner across.
std::vector<double> arrows_rad(const ReadPage& page)
{
    std::vector<double> found;
    for (const auto& quad : quads_below(page)) {
        int left = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            left += turn_at(quad, i) > 0 ? 1 : 0;
        }
        for (std::size_t i = 0; i < 4; ++i) {
            if (left == (turn_at(quad, i) > 0 ? 1 : 3)) {
                const auto& tip = quad[(i + 2) % 4];
                found.push_back(std::atan2(tip.y - quad[i].y, tip.x - quad[i].x));
            }
        }
    }
    return found;
}

/// The bar's blocks are the boxes 4 points high below the plan.
double bar_native(const ReadPage& page)
{
    double left = 1e300;
    double right = -1e300;
    for (const auto& quad : quads_below(page)) {
        std::vector<double> sides;
        for (std::size_t i = 0; i < 4; ++i) {
            const auto& next = quad[(i + 1) % 4];
            sides.push_back(std::hypot(next.x - quad[i].x, next.y - quad[i].y) / page.native_per_paper_mm);
        }
        const double block_mm = 4 * 25.4 / 72;
        if (std::abs(*std::ranges::min_element(sides) - block_mm) > 0.02) {
            continue;
        }
        for (const auto& p : quad) {
            const double along = p.x * std::cos(page.turned_rad) + p.y * std::sin(page.turned_rad);
            left = std::min(left, along);
            right = std::max(right, along);
        }
    }
    return right - left;
}

/// What the last figure of the bar says: the text in the strip below the plan that ends in a unit.
double bar_text_m(const Canvas& canvas, const PlanOnPaper& plan)
{
    const double top = canvas.page_size().height_pt - plan.lower_pt;
    double length_m = 0;
    for (const auto& one : canvas.drawn_texts()) {
        const auto& at = one.corners[0];
        if (one.page == plan.page && at.y_pt > top && at.y_pt < top + 20 && at.x_pt < plan.left_pt + 150) {
            length_m = one.text.ends_with(" ft")  ? std::stod(one.text) * 0.3048
                       : one.text.ends_with(" m") ? std::stod(one.text)
                                                  : length_m;
        }
    }
    return length_m;
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
    const auto pages = read_pages(add_georeference(sheet_files(plan).pdf, plan));
    REQUIRE(pages.size() > 1);
    CHECK(placed_among(pages) == 1);
    CHECK(pages[0].epsg == "3435");
    CHECK(drawn_of(quillet_lots(), pages[0]) >= 3);
    CHECK(drawn_of(quillet_lots(), pages[0], 2) == 0); // no figure happens to lie 2 mm off
}

TEST_CASE("a PDF sheet lies on the earth where the lot's file says, in meters of EPSG:25832", "[geo_pdf]")
{
    const auto plan = planned("brinkholt");
    const auto pages = read_pages(add_georeference(sheet_files(plan).pdf, plan));
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
    const auto pages = read_pages(add_georeference(drawn, plan));
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

TEST_CASE("the arrow points to the north of the page's own measure and the bar is as long as it says", "[geo_pdf]")
{
    const auto* const lot = GENERATE("quillet-lane", "brinkholt");
    auto plan = planned(lot);
    for (const auto* const units : {"us", "metric"}) {
        for (const auto* const paper : {"letter", "tabloid", "a4", "a3"}) {
            for (const std::string turn : {"north up", "along the trench"}) {
                set_rule(plan.job.rules, "print.units", units);
                set_rule(plan.job.rules, "sheet.paper", paper);
                set_rule(plan.job.rules, "sheet.turn", turn);
                INFO(lot << " in " << units << " on " << paper << ", " << turn);
                const auto set = sheet_set(plan);
                Canvas canvas(set.paper.size);
                PlacedPdf drawn{.bytes = {}, .plans = draw_sheets(canvas, set)};
                drawn.bytes = pdf_of(canvas, "sheet");
                const auto plans = drawn.plans;
                const auto contents = contents_of(drawn.bytes);
                auto pages = read_pages(add_georeference(std::move(drawn), plan));
                REQUIRE(contents.size() == pages.size());
                for (const auto& one : plans) {
                    auto& page = pages.at(one.page);
                    read_fills(page, contents.at(one.page));
                    const auto arrows = arrows_rad(page);
                    REQUIRE(arrows.size() == 1);
                    CHECK(arrows[0] == Approx(std::acos(0.0)).margin(0.01)); // grid north: 90 degrees from east
                    CHECK((std::abs(page.turned_rad) < 0.001) == (turn == "north up"));
                    const double said_m = bar_text_m(canvas, one);
                    CHECK(said_m > 0);
                    CHECK(bar_native(page) * page.meter_per_native == Approx(said_m).epsilon(0.003));
                }
            }
        }
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
    const auto pages = read_pages(add_georeference(record_files(plan, measured).pdf, plan));
    REQUIRE(!pages.empty());
    CHECK(drawn_of(brinkholt_lots(), pages[0]) >= 2);
}

TEST_CASE("a system without a number is told in words", "[geo_pdf]")
{
    // The tape lot's meters taken as those of a map made for the place: its corners are then known in it.
    auto plan = planned("tape");
    const auto frame = frame_in("EPSG:4258", {.x = 7.4, .y = 55.6});
    const auto drawn = sheet_files(plan).pdf;
    plan.site.frame = frame;
    const auto pages = read_pages(add_georeference(drawn, plan));
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
    CHECK(add_georeference(drawn, plan) == drawn.bytes);
    CHECK(drawn.bytes.find("/VP") == std::string::npos);
    CHECK(placed_among(read_pages(drawn.bytes)) == 0);
    // A datum nobody has named.
    plan.site.frame = frame_in("+proj=tmerc +lat_0=55.6 +lon_0=7.4 +ellps=bessel +units=m +type=crs", {});
    CHECK(add_georeference(drawn, plan) == drawn.bytes);
}

TEST_CASE("places are added behind the drawing, which stays as it is, and are the same twice", "[geo_pdf]")
{
    const auto plan = planned("brinkholt");
    const auto drawn = sheet_files(plan).pdf;
    const auto placed = add_georeference(drawn, plan);
    CHECK(placed.size() > drawn.bytes.size());
    CHECK(placed.starts_with(drawn.bytes)); // ISO 32000-2, 7.5.6
    CHECK(add_georeference(sheet_files(plan).pdf, plan) == placed);
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
