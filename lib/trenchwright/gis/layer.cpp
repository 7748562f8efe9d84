#include "trenchwright/gis/layer.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/geojson_text.hpp"
#include "trenchwright/gis/messages.hpp"
#include "trenchwright/gis/read_features.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/gis/system_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <memory>
#include <ogr_feature.h>
#include <ogrsf_frmts.h>

namespace trenchwright {

namespace {

[[noreturn]] void stop(const std::filesystem::path& file, const std::string& text)
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", file.string(), text));
}

/// GDAL reads over some slips (NaN). Where they cost a feature its place, the caller says which.
void require_proper(const GeojsonText& text, const LayerData& layer)
{
    const auto placeless = [](const Feature& feature) { return std::holds_alternative<std::monostate>(feature.shape); };
    if (!text.fault.empty() && std::ranges::none_of(layer.features, placeless)) {
        stop(layer.file, "cannot be read: " + text.fault);
    }
}

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(GDALDataset::ToHandle(dataset)); }
};
using DatasetPtr = std::unique_ptr<GDALDataset, CloseDataset>;

std::string reason_in_our_words(const GdalMessages& messages, const std::string& driver)
{
    const auto reason = messages.reason("not a " + driver + " file");
    const bool index = reason.find("SHAPE_RESTORE_SHX") != std::string::npos;
    return index ? "its .shx file cannot be read; copy all files of the shapefile once more" : reason;
}

DatasetPtr open(const LayerSource& source, const std::string& driver, const GdalMessages& messages)
{
    const char* const drivers[] = {driver.c_str(), nullptr};
    const auto columns = "GEOM_POSSIBLE_NAMES=" + (source.wkt_column.empty() ? "WKT" : source.wkt_column);
    const char* const csv_options[] = {columns.c_str(), nullptr};
    // Immutable: not even a lock or index file appears beside the input.
    const char* const gpkg_options[] = {"IMMUTABLE=YES", "LIST_ALL_TABLES=NO", nullptr};
    const char* const* options = driver == "CSV" ? csv_options : driver == "GPKG" ? gpkg_options : nullptr;
    const auto name = std::filesystem::absolute(source.file).string();
    DatasetPtr dataset{GDALDataset::Open(name.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, options)};
    if (!dataset) {
        stop(source.file, "cannot be read: " + reason_in_our_words(messages, driver));
    }
    return dataset;
}

/// Before any layer is looked at: GDAL hands the text to PROJ as it stands.
void refuse_files_of_systems(GDALDataset& dataset, const LayerSource& source)
{
    auto* const rows = dataset.ExecuteSQL("SELECT definition FROM gpkg_spatial_ref_sys", nullptr, nullptr);
    if (rows == nullptr) {
        return;
    }
    std::string fault;
    while (const std::unique_ptr<OGRFeature> row{rows->GetNextFeature()}) {
        try {
            refuse_files_of_system(row->GetFieldAsString(0));
        } catch (const Error& error) {
            fault = error.what();
        }
    }
    dataset.ReleaseResultSet(rows);
    if (!fault.empty()) {
        stop(source.file, fault);
    }
}

OGRLayer& choose_layer(GDALDataset& dataset, const LayerSource& source)
{
    std::vector<std::string> names;
    for (auto* candidate : dataset.GetLayers()) {
        names.emplace_back(candidate->GetName());
        if (candidate->GetName() == source.layer) {
            return *candidate;
        }
    }
    if (!source.layer.empty()) {
        stop(source.file, fmt::format("has no layer \"{}\"; its layers are {}", source.layer, fmt::join(names, ", ")));
    }
    if (names.size() != 1) {
        stop(source.file, fmt::format("holds {} layers, name one: {}", names.size(), fmt::join(names, ", ")));
    }
    return *dataset.GetLayer(0);
}

void read_system(const OGRLayer& from, const LayerSource& source, LayerData& layer)
{
    if (source.tape_offsets) {
        return;
    }
    std::string stated = source.crs;
    const auto* const srs = const_cast<OGRLayer&>(from).GetSpatialRef();
    if (stated.empty() && srs != nullptr) {
        char* text = nullptr;
        const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
        srs->exportToWkt(&text, options);
        stated = text == nullptr ? "" : text;
        CPLFree(text);
    }
    if (stated.empty()) {
        return;
    }
    const auto facts = system_facts(stated);
    if (facts.kind != SystemKind::local) {
        layer.wkt = facts.wkt;
        layer.z_unit_in_m = facts.z_unit_in_m;
    }
}

/// What stands before the place in a parser's complaint, on one line.
std::string first_line(const std::string& text)
{
    auto line = text.substr(0, text.find('\n'));
    while (!line.empty() && (line.back() == '.' || line.back() == ' ')) {
        line.pop_back();
    }
    return line;
}

bool apart(const NativeBox& near, const OGREnvelope& box)
{
    return box.MinX > near.high.x || box.MaxX < near.low.x || box.MinY > near.high.y || box.MaxY < near.low.y;
}

bool apart(const NativeBox& near, const Feature& placed_by_columns)
{
    const auto* points = std::get_if<std::vector<ShapePoint>>(&placed_by_columns.shape);
    return points != nullptr && std::ranges::all_of(*points, [&](const ShapePoint& p) {
               return p.x > near.high.x || p.x < near.low.x || p.y > near.high.y || p.y < near.low.y;
           });
}

/// Asks an index for a box while it lives. A stale one of a shapefile would lose features, see OpenLayer.
class BoxAsked {
  public:
    BoxAsked(OGRLayer& layer, const std::string& driver, const std::optional<NativeBox>& near)
        : layer_(layer), asked_(near && (driver == "GPKG" || driver == "FlatGeobuf") &&
                                layer.TestCapability(OLCFastSpatialFilter) != 0)
    {
        if (asked_) {
            layer.SetSpatialFilterRect(near->low.x, near->low.y, near->high.x, near->high.y);
        }
    }
    ~BoxAsked() { layer_.SetSpatialFilter(nullptr); }
    BoxAsked(const BoxAsked&) = delete;
    BoxAsked& operator=(const BoxAsked&) = delete;
    BoxAsked(BoxAsked&&) = delete;
    BoxAsked& operator=(BoxAsked&&) = delete;
    [[nodiscard]] bool asked() const { return asked_; }

  private:
    OGRLayer& layer_;
    bool asked_;
};

} // namespace

struct OpenLayer::State {
    LayerSource source;
    ReadLimits limits;
    GeojsonText text;
    DatasetPtr dataset;
    OGRLayer* layer = nullptr;
    LayerData head;
    std::vector<std::string> failures; ///< while it was opened
    /// Compiled by OGR itself and asked of every feature: one language for all formats, and no index is trusted.
    std::unique_ptr<OGRFeatureQuery> where;

    void open_file(const GdalMessages& messages);
    void compile_where();
    [[nodiscard]] bool holds(OGRFeature& row) const { return !where || where->Evaluate(&row) != 0; }
    [[nodiscard]] std::function<bool(OGRFeature&)> wanted_by(const FeatureFilter& filter) const;
    void read_near(LayerData& data, const FeatureFilter& filter) const;
    void require_some(const LayerData& read) const;
    [[nodiscard]] int field_index(const std::string& name) const;
};

void OpenLayer::State::open_file(const GdalMessages& messages)
{
    const auto driver = driver_for(source.file, FileKind::vector, limits);
    if (source.decimal_comma && driver != "CSV") {
        stop(source.file, "decimal = \",\" is for CSV; in other formats numbers are no texts");
    }
    text = driver == "GeoJSON" ? look_through_geojson(source.file) : GeojsonText{};
    dataset = open(source, driver, messages);
    if (driver == "GPKG") {
        refuse_files_of_systems(*dataset, source);
    }
    layer = &choose_layer(*dataset, source);
    head = {.file = source.file,
            .layer = layer->GetName(),
            .driver = driver,
            .wkt = {},
            .fields = {},
            .features = {},
            .warnings = {},
            .z_unit_in_m = {},
            .decimal_comma = source.decimal_comma,
            .in_file = static_cast<std::size_t>(std::max<GIntBig>(0, layer->GetFeatureCount()))};
    for (int i = 0; i < layer->GetLayerDefn()->GetFieldCount(); ++i) {
        head.fields.emplace_back(layer->GetLayerDefn()->GetFieldDefn(i)->GetNameRef());
    }
    try {
        read_system(*layer, source, head);
    } catch (const Error& fault) {
        stop(source.file, fmt::format("layer {}: {}", head.layer, fault.what()));
    }
}

void OpenLayer::State::compile_where()
{
    if (source.where.empty()) {
        return;
    }
    const GdalMessages messages;
    where = std::make_unique<OGRFeatureQuery>();
    if (where->Compile(layer, source.where.c_str()) != OGRERR_NONE) {
        stop(source.file,
             fmt::format("layer {}: where = \"{}\" is not understood: {}; its fields are {}", head.layer, source.where,
                         first_line(messages.reason("no condition of OGR SQL")), fmt::join(head.fields, ", ")));
    }
}

int OpenLayer::State::field_index(const std::string& name) const
{
    const auto found = std::ranges::find(head.fields, name);
    return found == head.fields.end() ? -1 : static_cast<int>(found - head.fields.begin());
}

std::function<bool(OGRFeature&)> OpenLayer::State::wanted_by(const FeatureFilter& filter) const
{
    const int id_index = field_index(filter.id_field);
    return [this, &filter, id_index](OGRFeature& row) {
        const auto has_id = [&] {
            const auto id = plain_id(std::string(trimmed(field_text(row, id_index))));
            return std::ranges::any_of(filter.ids, [&](const auto& wanted) { return plain_id(wanted) == id; });
        };
        const auto* shape = row.GetGeometryRef();
        if (filter.near && shape != nullptr && !shape->IsEmpty()) {
            OGREnvelope box;
            shape->getEnvelope(&box);
            if (apart(*filter.near, box)) {
                return false;
            }
        }
        const bool by_id =
            filter.id_field.empty() || (id_index >= 0 && row.IsFieldSetAndNotNull(id_index) != 0 && has_id());
        return by_id && holds(row);
    };
}

void OpenLayer::State::read_near(LayerData& data, const FeatureFilter& filter) const
{
    const FeatureReading reading{.source = source, .limits = limits, .mixed = text.mixed, .wanted = wanted_by(filter)};
    const BoxAsked box(*layer, head.driver, filter.near);
    read_features(*layer, data, reading);
    if (!box.asked()) {
        return;
    }
    if (head.driver == "GPKG") { // its index knows no shape that is NULL or empty
        layer->SetSpatialFilter(nullptr);
        const std::string column = layer->GetGeometryColumn();
        layer->SetAttributeFilter(fmt::format("\"{0}\" IS NULL OR ST_IsEmpty(\"{0}\")", column).c_str());
        read_features(*layer, data, reading);
        layer->SetAttributeFilter(nullptr);
    }
    std::ranges::sort(data.features, {}, &Feature::id); // an index answers in its own order
}

/// A condition that holds nowhere is a slip (a word in other letters, another field), not a choice.
void OpenLayer::State::require_some(const LayerData& read) const
{
    if (!where || !read.features.empty() || head.in_file == 0) {
        return;
    }
    layer->ResetReading();
    while (const std::unique_ptr<OGRFeature> row{layer->GetNextFeature()}) {
        if (holds(*row)) {
            return;
        }
    }
    stop(source.file, fmt::format("layer {}: where = \"{}\" holds for none of its {} features", head.layer,
                                  source.where, head.in_file));
}

OpenLayer::OpenLayer(LayerSource source, const ReadLimits& limits) : state_(std::make_unique<State>())
{
    state_->source = std::move(source);
    state_->limits = limits;
    const GdalMessages messages;
    state_->open_file(messages);
    state_->compile_where();
    state_->failures = messages.failures();
    state_->head.warnings = messages.warnings();
}

OpenLayer::OpenLayer(OpenLayer&&) noexcept = default;
OpenLayer& OpenLayer::operator=(OpenLayer&&) noexcept = default;
OpenLayer::~OpenLayer() = default;

const LayerData& OpenLayer::head() const
{
    return state_->head;
}

LayerData OpenLayer::read(const FeatureFilter& filter) const
{
    const auto& state = *state_;
    const GdalMessages messages;
    LayerData data = state.head;
    state.read_near(data, filter);
    if (filter.id_field.empty()) {
        require_proper(state.text, data);
        state.require_some(data);
    }
    for (const auto* failures : {&state.failures, &messages.failures()}) {
        if (!failures->empty()) {
            stop(data.file, fmt::format("layer {}: {}", data.layer, failures->front()));
        }
    }
    if (state.layer->GetLayerDefn()->GetGeomFieldCount() == 0 && !state.source.without_places) {
        place_by_columns(data, state.source);
        std::erase_if(data.features,
                      [&](const Feature& feature) { return filter.near && apart(*filter.near, feature); });
    }
    for (const auto& text : messages.warnings()) {
        if (std::ranges::find(data.warnings, text) == data.warnings.end()) {
            data.warnings.push_back(text);
        }
    }
    return data;
}

std::optional<NativeBox> OpenLayer::extent() const
{
    const GdalMessages messages;
    OGREnvelope box;
    const bool known = state_->head.in_file > 0 && state_->layer->GetLayerDefn()->GetGeomFieldCount() > 0 &&
                       state_->layer->GetExtent(&box, TRUE) == OGRERR_NONE;
    return known
               ? std::optional(NativeBox{.low = {.x = box.MinX, .y = box.MinY}, .high = {.x = box.MaxX, .y = box.MaxY}})
               : std::nullopt;
}

std::vector<std::string> OpenLayer::texts_of(const std::string& field, std::size_t most) const
{
    const GdalMessages messages;
    std::vector<std::string> texts;
    const int index = state_->field_index(field);
    state_->layer->ResetReading();
    while (const std::unique_ptr<OGRFeature> row{index < 0 ? nullptr : state_->layer->GetNextFeature()}) {
        const bool set = row->IsFieldSetAndNotNull(index) != 0 && state_->holds(*row);
        auto text = set ? std::string(trimmed(field_text(*row, index))) : std::string();
        if (texts.size() == most) {
            break;
        }
        if (!text.empty() && std::ranges::find(texts, text) == texts.end()) {
            texts.push_back(std::move(text));
        }
    }
    return texts;
}

LayerData read_layer(const LayerSource& source, const ReadLimits& limits)
{
    return OpenLayer(source, limits).read();
}

std::string plain_id(const std::string& text)
{
    const auto number = parse_number(text);
    const bool decimals = number.ok && text.find('.') != std::string::npos;
    const bool whole = decimals && std::abs(number.value) < 1e15 && std::trunc(number.value) == number.value;
    return whole ? fmt::format("{:.0f}", number.value) : text;
}

std::string where(const LayerData& layer, long long feature_id)
{
    return fmt::format("{}, layer {}, feature {}", layer.file.string(), layer.layer, feature_id);
}

} // namespace trenchwright
