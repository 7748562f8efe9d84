#include "trenchwright/gis/write.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/gdal_option.hpp"
#include "trenchwright/gis/messages.hpp"
#include "trenchwright/gis/ogr_shape.hpp"

#include <cmath>
#include <fmt/format.h>
#include <memory>
#include <ogrsf_frmts.h>

namespace trenchwright {

namespace {

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(GDALDataset::ToHandle(dataset)); }
};
using DatasetPtr = std::unique_ptr<GDALDataset, CloseDataset>;

[[noreturn]] void misfit(const OutLayer& layer, const std::string& text)
{
    throw Error(ErrorKind::internal, fmt::format("layer {}: {}", layer.name, text));
}

double finite(const OutLayer& layer, double value)
{
    if (!std::isfinite(value)) {
        misfit(layer, fmt::format("{} cannot be written", value));
    }
    return value;
}

OGRwkbGeometryType type_of(OutGeometry geometry)
{
    switch (geometry) {
    case OutGeometry::none: return wkbNone;
    case OutGeometry::point: return wkbPoint;
    case OutGeometry::line: return wkbLineString;
    case OutGeometry::polygon: return wkbPolygon;
    case OutGeometry::point_with_elev: return wkbPoint25D;
    case OutGeometry::line_with_elev: return wkbLineString25D;
    }
    return wkbUnknown;
}

OGRFieldType type_of(OutFieldType type)
{
    switch (type) {
    case OutFieldType::text: return OFTString;
    case OutFieldType::integer: return OFTInteger64;
    case OutFieldType::real: return OFTReal;
    }
    return OFTString;
}

void set_value(OGRFeature& feature, int index, const OutValue& value, const OutLayer& layer)
{
    const auto& field = layer.fields[static_cast<std::size_t>(index)];
    const auto* const text = std::get_if<std::string>(&value);
    const auto* const whole = std::get_if<long long>(&value);
    const auto* const real = std::get_if<double>(&value);
    if (std::holds_alternative<std::monostate>(value)) {
        feature.SetFieldNull(index);
    } else if (text != nullptr && field.type == OutFieldType::text) {
        feature.SetField(index, text->c_str());
    } else if (whole != nullptr && field.type == OutFieldType::integer) {
        feature.SetField(index, static_cast<GIntBig>(*whole));
    } else if (real != nullptr && field.type == OutFieldType::real) {
        feature.SetField(index, finite(layer, *real));
    } else {
        misfit(layer, fmt::format("a value of field {} is of another type", field.name));
    }
}

void write_feature(OGRLayer& to, const OutFeature& from, const OutLayer& layer, const Frame& frame)
{
    if (from.values.size() != layer.fields.size()) {
        misfit(layer, fmt::format("{} values for {} fields", from.values.size(), layer.fields.size()));
    }
    OGRFeature feature(to.GetLayerDefn());
    auto shape = ogr_shape({.layer = layer.name, .frame = frame, .heights = Heights::in_elev_unit}, from.shape);
    const auto type = shape ? shape->getGeometryType() : wkbNone;
    if (type != type_of(layer.geometry)) {
        misfit(layer, fmt::format("a {} among {}", OGRGeometryTypeToName(type),
                                  OGRGeometryTypeToName(type_of(layer.geometry))));
    }
    feature.SetGeometryDirectly(shape.release());
    for (std::size_t i = 0; i < from.values.size(); ++i) {
        set_value(feature, static_cast<int>(i), from.values[i], layer);
    }
    if (to.CreateFeature(&feature) != OGRERR_NONE) {
        throw Error(ErrorKind::output, fmt::format("layer {} cannot be written", layer.name));
    }
}

OGRSpatialReference system_of(const Frame& frame)
{
    OGRSpatialReference system;
    system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (frame.wkt.empty()) {
        // The name by which GeoPackage knows its system -1.
        system.SetLocalCS("Undefined Cartesian SRS");
    } else if (system.importFromWkt(frame.wkt.c_str()) != OGRERR_NONE) {
        throw Error(ErrorKind::internal, "the frame's system cannot be read back");
    }
    return system;
}

void write_layer(GDALDataset& dataset, const OutLayer& layer, const Frame& frame, OGRSpatialReference& system)
{
    const auto description = "DESCRIPTION=" + layer.description;
    const char* const options[] = {description.c_str(), nullptr};
    auto* const to =
        dataset.CreateLayer(layer.name.c_str(), &system, type_of(layer.geometry), const_cast<char**>(options));
    if (to == nullptr) {
        throw Error(ErrorKind::output, fmt::format("layer {} cannot be made", layer.name));
    }
    for (const auto& field : layer.fields) {
        OGRFieldDefn definition(field.name.c_str(), type_of(field.type));
        if (to->CreateField(&definition) != OGRERR_NONE) {
            misfit(layer, fmt::format("field {} cannot be made", field.name));
        }
    }
    for (const auto& feature : layer.features) {
        write_feature(*to, feature, layer, frame);
    }
}

} // namespace

void write_geopackage(const std::filesystem::path& file, const Frame& frame, std::span<const OutLayer> layers)
{
    const GdalMessages messages;
    // GeoPackage stamps the time of its last change into the file; a fixed one keeps the bytes equal.
    const GdalOption fixed_date("OGR_CURRENT_DATE", "2020-01-01T00:00:00Z");
    if (std::filesystem::exists(file)) {
        throw Error(ErrorKind::output, fmt::format("{}: exists already", file.string()));
    }
    auto* const driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    const char* const options[] = {"VERSION=1.3", nullptr};
    DatasetPtr dataset{driver->Create(file.string().c_str(), 0, 0, 0, GDT_Unknown, const_cast<char**>(options))};
    if (!dataset) {
        throw Error(ErrorKind::output, fmt::format("{}: {}", file.string(), messages.reason("cannot be made")));
    }
    auto system = system_of(frame);
    dataset->StartTransaction();
    for (const auto& layer : layers) {
        write_layer(*dataset, layer, frame, system);
    }
    dataset->CommitTransaction();
    dataset.reset();
    if (!messages.failures().empty()) {
        throw Error(ErrorKind::output, fmt::format("{}: {}", file.string(), messages.failures().front()));
    }
}

} // namespace trenchwright
