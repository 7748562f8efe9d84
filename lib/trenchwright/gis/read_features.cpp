#include "trenchwright/gis/read_features.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <memory>
#include <ogrsf_frmts.h>

namespace trenchwright {

namespace {

constexpr double arc_step_deg = 1;

struct Counted {
    const LayerData& layer;
    const ReadLimits& limits;
    std::size_t vertices = 0;
    /// Of the feature at hand, where its text leaves out some heights, which GDAL takes as 0.
    std::optional<VertexHeights> heights = {};
    std::size_t in_feature = 0;

    bool next_has_height()
    {
        const auto index = in_feature++;
        return !heights || (index < heights->size() && (*heights)[index]);
    }
};

[[noreturn]] void stop(const std::filesystem::path& file, const std::string& text)
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", file.string(), text));
}

[[noreturn]] void stop(const LayerData& layer, long long id, const std::string& text)
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", where(layer, id), text));
}

ShapePoint vertex(Counted& counted, long long id, const OGRPoint& p)
{
    const bool has_z = counted.next_has_height() && p.Is3D() != 0;
    const bool finite = std::isfinite(p.getX()) && std::isfinite(p.getY()) && (!has_z || std::isfinite(p.getZ()));
    if (!finite) {
        stop(counted.layer, id, fmt::format("coordinate ({}, {}, {}) is not a number", p.getX(), p.getY(), p.getZ()));
    }
    if (++counted.vertices > counted.limits.vertices) {
        stop(counted.layer, id, fmt::format("more than {} vertices in the layer", counted.limits.vertices));
    }
    return {.x = p.getX(), .y = p.getY(), .file_z = has_z ? std::optional(p.getZ()) : std::nullopt};
}

ShapeLine line_of(Counted& counted, long long id, const OGRSimpleCurve& curve)
{
    ShapeLine line;
    for (const auto& p : curve) {
        line.push_back(vertex(counted, id, p));
    }
    return line;
}

ShapeLine ring_of(Counted& counted, long long id, const OGRLinearRing& ring)
{
    auto line = line_of(counted, id, ring);
    const bool repeats = line.size() > 1 && line.front().x == line.back().x && line.front().y == line.back().y;
    if (repeats) {
        line.pop_back();
    }
    return line;
}

ShapeArea area_of(Counted& counted, long long id, const OGRPolygon& polygon)
{
    ShapeArea area{.outer = ring_of(counted, id, *polygon.getExteriorRing()), .holes = {}};
    for (int i = 0; i < polygon.getNumInteriorRings(); ++i) {
        area.holes.push_back(ring_of(counted, id, *polygon.getInteriorRing(i)));
    }
    return area;
}

template <class Part> void append(Counted& counted, long long id, Shape& shape, Part part)
{
    if (std::holds_alternative<std::monostate>(shape)) {
        shape = std::vector<Part>{};
    }
    auto* const parts = std::get_if<std::vector<Part>>(&shape);
    if (parts == nullptr) {
        stop(counted.layer, id, "mixes points, lines and polygons in one feature");
    }
    parts->push_back(std::move(part));
}

void add_parts(Counted& counted, long long id, const OGRGeometry& geometry, Shape& shape)
{
    if (geometry.IsEmpty()) {
        return;
    }
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint: append(counted, id, shape, vertex(counted, id, *geometry.toPoint())); break;
    case wkbLineString: append(counted, id, shape, line_of(counted, id, *geometry.toLineString())); break;
    case wkbPolygon: append(counted, id, shape, area_of(counted, id, *geometry.toPolygon())); break;
    case wkbMultiPoint:
    case wkbMultiLineString:
    case wkbMultiPolygon:
    case wkbGeometryCollection:
        for (const auto* part : *geometry.toGeometryCollection()) {
            if (part->IsEmpty()) { // a part that cannot be read arrives like this; left out, a danger would be hidden
                stop(counted.layer, id, "one of its parts is empty or has a place that cannot be read");
            }
            add_parts(counted, id, *part, shape);
        }
        break;
    default: stop(counted.layer, id, fmt::format("geometry of type {} is not read", geometry.getGeometryName()));
    }
}

std::string date_text(const OGRFeature& feature, int field, bool with_time)
{
    int year = 0;
    int month = 0;
    int day = 0;
    int hour = 0;
    int minute = 0;
    int second = 0;
    int zone = 0;
    feature.GetFieldAsDateTime(field, &year, &month, &day, &hour, &minute, &second, &zone);
    auto text = fmt::format("{:04}-{:02}-{:02}", year, month, day);
    return with_time ? fmt::format("{}T{:02}:{:02}:{:02}", text, hour, minute, second) : text;
}

std::map<std::string, std::string> values_of(const OGRFeature& feature)
{
    std::map<std::string, std::string> values;
    for (int i = 0; i < feature.GetFieldCount(); ++i) {
        if (!feature.IsFieldSetAndNotNull(i)) {
            continue;
        }
        const auto text = field_text(feature, i);
        if (const auto body = trimmed(text); !body.empty()) {
            values[feature.GetFieldDefnRef(i)->GetNameRef()] = std::string(body);
        }
    }
    return values;
}

double column_number(const LayerData& layer, const Feature& feature, const std::string& column)
{
    const auto found = feature.values.find(column);
    if (found == feature.values.end()) {
        stop(layer, feature.id, fmt::format("{} is empty", column));
    }
    const auto number = parse_number(found->second, layer.decimal_comma);
    if (!number.ok) {
        stop(layer, feature.id,
             fmt::format("{} \"{}\" is not a number (decimal {}, no unit)", column, found->second,
                         layer.decimal_comma ? "comma" : "point"));
    }
    return number.value;
}

/// x and y of every vertex, in the order of the file.
void add_places(const OGRGeometry& geometry, std::vector<double>& places)
{
    const auto add = [&](const OGRSimpleCurve& curve) {
        for (const auto& p : curve) {
            places.insert(places.end(), {p.getX(), p.getY()});
        }
    };
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint: places.insert(places.end(), {geometry.toPoint()->getX(), geometry.toPoint()->getY()}); break;
    case wkbLineString: add(*geometry.toLineString()); break;
    case wkbPolygon:
        for (const auto* ring : *geometry.toPolygon()) {
            add(*ring);
        }
        break;
    case wkbMultiPoint:
    case wkbMultiLineString:
    case wkbMultiPolygon:
    case wkbGeometryCollection:
        for (const auto* part : *geometry.toGeometryCollection()) {
            add_places(*part, places);
        }
        break;
    default: break;
    }
}

/// The text a table keeps its place in.
std::optional<std::string> wkt_of(const Feature& feature, const LayerSource& source)
{
    const std::string column = source.wkt_column.empty() ? "WKT" : source.wkt_column;
    const auto found = std::ranges::find_if(
        feature.values, [&](const auto& value) { return EQUAL(value.first.c_str(), column.c_str()); });
    return found == feature.values.end() ? std::nullopt : std::optional(found->second);
}

/// Which vertices carry a height; nothing where all do, or none.
std::optional<VertexHeights> heights_of(const OGRGeometry& geometry, const Feature& feature, const FeatureReading& text)
{
    if (geometry.Is3D() == 0) {
        return std::nullopt;
    }
    if (const auto wkt = wkt_of(feature, text.source)) {
        auto heights = heights_in_wkt(*wkt);
        const bool whole = std::ranges::find(heights, false) == heights.end();
        return whole ? std::nullopt : std::optional(feature.curved ? VertexHeights{} : std::move(heights));
    }
    if (text.mixed.empty()) {
        return std::nullopt;
    }
    std::vector<double> places;
    add_places(geometry, places);
    const auto found = text.mixed.find(places);
    return found == text.mixed.end() ? std::nullopt : std::optional(found->second);
}

/// Ids come as reals too: a whole number is written whole, as far as a double counts whole numbers.
std::string real_text(double value)
{
    const bool whole = std::abs(value) < 1e18 && std::trunc(value) == value;
    return whole ? fmt::format("{:.0f}", value + 0.0) : fmt::format("{}", value);
}

} // namespace

std::string field_text(const OGRFeature& feature, int field)
{
    const auto* const definition = feature.GetFieldDefnRef(field);
    switch (definition->GetType()) {
    case OFTReal: return real_text(feature.GetFieldAsDouble(field));
    case OFTDate: return date_text(feature, field, false);
    case OFTDateTime: return date_text(feature, field, true);
    case OFTInteger:
        if (definition->GetSubType() == OFSTBoolean) {
            return feature.GetFieldAsInteger(field) != 0 ? "true" : "false";
        }
        break;
    default: break;
    }
    return feature.GetFieldAsString(field);
}

/// Coordinates from two columns, read strictly: GDAL would drop a place it cannot read.
void place_by_columns(LayerData& layer, const LayerSource& source)
{
    const std::string x_column = source.x_column.empty() ? "x" : source.x_column;
    const std::string y_column = source.y_column.empty() ? "y" : source.y_column;
    for (const auto& column : {x_column, y_column}) {
        if (std::find(layer.fields.begin(), layer.fields.end(), column) == layer.fields.end()) {
            stop(layer.file, fmt::format("layer {} has no geometry and no column \"{}\"; its columns are {}",
                                         layer.layer, column, fmt::join(layer.fields, ", ")));
        }
    }
    for (auto& feature : layer.features) {
        feature.shape = std::vector<ShapePoint>{{.x = column_number(layer, feature, x_column),
                                                 .y = column_number(layer, feature, y_column),
                                                 .file_z = std::nullopt}};
    }
}

void read_features(OGRLayer& from, LayerData& layer, const FeatureReading& reading)
{
    Counted counted{.layer = layer, .limits = reading.limits};
    from.ResetReading();
    while (const std::unique_ptr<OGRFeature> row{from.GetNextFeature()}) {
        if (reading.wanted && !reading.wanted(*row)) {
            continue;
        }
        Feature feature{.id = row->GetFID(), .shape = {}, .curved = false, .values = values_of(*row)};
        if (const auto* geometry = row->GetGeometryRef(); geometry != nullptr) {
            feature.curved = geometry->hasCurveGeometry() != 0;
            counted.heights = heights_of(*geometry, feature, reading);
            counted.in_feature = 0;
            const std::unique_ptr<OGRGeometry> linear{geometry->getLinearGeometry(arc_step_deg)};
            add_parts(counted, feature.id, *linear, feature.shape);
        }
        layer.features.push_back(std::move(feature));
        if (layer.features.size() > reading.limits.features) {
            stop(layer.file,
                 fmt::format("layer {}: more than {} features are to be read", layer.layer, reading.limits.features));
        }
    }
}

} // namespace trenchwright
