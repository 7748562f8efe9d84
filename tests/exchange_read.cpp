#include "trenchwright/plan/plan.hpp"

#include "exchange_read.hpp"

#include "export_fixture.hpp"

#include <catch2/catch.hpp>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>
#include <proj.h>

namespace trenchwright::test {

namespace {

std::vector<Point3> places_of(const OGRGeometry& shape)
{
    const auto* line = dynamic_cast<const OGRSimpleCurve*>(&shape);
    if (const auto* area = dynamic_cast<const OGRPolygon*>(&shape)) {
        line = area->getExteriorRing();
    }
    if (const auto* point = dynamic_cast<const OGRPoint*>(&shape)) {
        return {{point->getX(), point->getY(), point->getZ()}};
    }
    std::vector<Point3> places;
    for (int i = 0; line != nullptr && i < line->getNumPoints(); ++i) {
        places.push_back({line->getX(i), line->getY(i), line->getZ(i)});
    }
    return places;
}

ReadRow row_of(OGRFeature& feature, const char* layer)
{
    ReadRow row;
    row.layer = layer;
    for (int i = 0; i < feature.GetFieldCount(); ++i) {
        if (feature.IsFieldSetAndNotNull(i)) {
            row.values[feature.GetFieldDefnRef(i)->GetNameRef()] = feature.GetFieldAsString(i);
        }
    }
    if (const auto* shape = feature.GetGeometryRef()) {
        row.kind = shape->getGeometryName();
        row.places = places_of(*shape);
    }
    return row;
}

} // namespace

std::vector<ReadRow> rows_in(const std::string& bytes, const std::string& name, const char* driver)
{
    GDALAllRegister();
    const TestFolder folder;
    put(folder / name, bytes);
    const char* const drivers[] = {driver, nullptr};
    const GDALDatasetUniquePtr dataset{
        GDALDataset::Open((folder / name).c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, nullptr, nullptr)};
    INFO(name);
    REQUIRE(dataset);
    std::vector<ReadRow> rows;
    for (auto* layer : dataset->GetLayers()) {
        for (const auto& feature : *layer) {
            rows.push_back(row_of(*feature, layer->GetName()));
        }
    }
    return rows;
}

struct GridOf::State {
    PJ* way = nullptr;
};

GridOf::GridOf(const char* grid) : state_(new State)
{
    auto* const crude = proj_create_crs_to_crs(nullptr, "OGC:CRS84", grid, nullptr);
    REQUIRE(crude != nullptr);
    state_->way = proj_normalize_for_visualization(nullptr, crude);
    proj_destroy(crude);
}

GridOf::~GridOf()
{
    proj_destroy(state_->way);
    delete state_;
}

NativePoint GridOf::operator()(double longitude, double latitude) const
{
    const auto moved = proj_trans(state_->way, PJ_FWD, proj_coord(longitude, latitude, 0, 0));
    return {.x = moved.xy.x, .y = moved.xy.y};
}

JobPlan demo_plan(const std::string& lot)
{
    return plan_job(read_job(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / lot / "job.toml"));
}

std::string unwrapped(const std::string& text)
{
    std::string made;
    for (const char c : text) {
        const bool space = c == ' ' || c == '\n';
        if (!space || (!made.empty() && made.back() != ' ')) {
            made += space ? ' ' : c;
        }
    }
    return made;
}

} // namespace trenchwright::test
