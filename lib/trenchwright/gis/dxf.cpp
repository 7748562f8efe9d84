#include "trenchwright/gis/dxf.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/dxf_template.hpp"
#include "trenchwright/gis/dxf_text.hpp"
#include "trenchwright/gis/gdal_option.hpp"
#include "trenchwright/gis/messages.hpp"
#include "trenchwright/gis/ogr_shape.hpp"

#include <algorithm>
#include <cmath>
#include <cpl_conv.h>
#include <fmt/format.h>
#include <fstream>
#include <gdal_priv.h>
#include <iterator>
#include <numbers>
#include <ogrsf_frmts.h>

namespace trenchwright {

namespace {

constexpr double line_step_ratio = 1.5; ///< from line to line, in text heights

int anchor_code(TextAnchor anchor)
{
    switch (anchor) { // of OGR's feature styles
    case TextAnchor::top_left: return 7;
    case TextAnchor::middle_left: return 4;
    case TextAnchor::middle: return 5;
    case TextAnchor::middle_right: return 6;
    }
    return 1;
}

std::string label_style(const DrawingText& text, const std::string& line, double height_native)
{
    std::string quoted;
    for (const char c : line) {
        quoted += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
    }
    return fmt::format("LABEL(t:\"{}\",s:{:.6f}g,a:{:.6f},p:{})", quoted, height_native,
                       text.turn_rad * 180 / std::numbers::pi, anchor_code(text.anchor));
}

/// The one table of a drawing, in which a row is an entity.
struct Entities {
    OGRLayer& table;
    const Frame& frame;

    void add(const DrawingLayer& layer, const OutShape& shape, const char* style) const
    {
        OGRFeature feature(table.GetLayerDefn());
        feature.SetField("Layer", layer.name.c_str());
        feature.SetStyleString(style);
        const ShapeTarget target{.layer = layer.name, .frame = frame, .heights = Heights::in_grid_unit};
        feature.SetGeometryDirectly(ogr_shape(target, shape).release());
        if (table.CreateFeature(&feature) != OGRERR_NONE) {
            throw Error(ErrorKind::output, fmt::format("layer {} cannot be written", layer.name));
        }
    }
    void add(const DrawingLayer& layer, const DrawingText& text) const
    {
        const double step_m = line_step_ratio * layer.text_height_m;
        Point at = text.at;
        for (const auto& line : dxf_lines(text.text)) {
            add(layer, at, label_style(text, line, layer.text_height_m / frame.meters_per_native).c_str());
            at.x_m += std::sin(text.turn_rad) * step_m;
            at.y_m -= std::cos(text.turn_rad) * step_m;
        }
    }
};

void check_name(const DrawingLayer& layer)
{
    const auto allowed = [](unsigned char c) { return std::isalnum(c) != 0 || c == ' ' || c == '-'; };
    if (layer.name.empty() || !std::ranges::all_of(layer.name, allowed)) {
        throw Error(ErrorKind::internal, fmt::format("\"{}\" is no name of a drawing's layer", layer.name));
    }
}

std::string bytes_in(const std::filesystem::path& file)
{
    std::ifstream stream(file, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    if (!stream || bytes.empty()) {
        throw Error(ErrorKind::output, fmt::format("{}: cannot be read", file.string()));
    }
    return bytes;
}

void put(const std::filesystem::path& file, const std::string& bytes)
{
    std::ofstream stream(file, std::ios::binary);
    if (!(stream << bytes) || !stream.flush()) {
        throw Error(ErrorKind::output, fmt::format("{}: cannot be written", file.string()));
    }
}

std::string template_text()
{
    const char* found = CPLFindFile("gdal", "header.dxf");
    if (found == nullptr) {
        throw Error(ErrorKind::output, "GDAL's template header.dxf is not found; is GDAL_DATA set rightly?");
    }
    auto text = bytes_in(found);
    std::erase(text, '\r');
    return text;
}

GDALDatasetUniquePtr created(const std::filesystem::path& file, const std::filesystem::path& header,
                             const GdalMessages& messages)
{
    auto* const driver = GetGDALDriverManager()->GetDriverByName("DXF");
    const auto option = "HEADER=" + header.string();
    const char* const options[] = {option.c_str(), nullptr};
    GDALDatasetUniquePtr dataset{
        driver->Create(file.string().c_str(), 0, 0, 0, GDT_Unknown, const_cast<char**>(options))};
    if (!dataset) {
        throw Error(ErrorKind::output, fmt::format("{}: {}", file.string(), messages.reason("cannot be made")));
    }
    return dataset;
}

} // namespace

void write_dxf(const std::filesystem::path& file, const Frame& frame, std::span<const DrawingLayer> layers)
{
    const GdalMessages messages;
    // GDAL fills areas unless it is told not to; a fill would hide what lies under it.
    const GdalOption no_fills("DXF_WRITE_HATCH", "NO");
    std::ranges::for_each(layers, check_name);
    if (std::filesystem::exists(file)) {
        throw Error(ErrorKind::output, fmt::format("{}: exists already", file.string()));
    }
    auto header = file;
    header += ".header";
    put(header, dxf_header(template_text(), frame, layers));
    auto dataset = created(file, header, messages);
    const Entities entities{.table = *dataset->CreateLayer("entities"), .frame = frame};
    for (const auto& layer : layers) {
        for (const auto& shape : layer.shapes) {
            entities.add(layer, shape, nullptr);
        }
        for (const auto& text : layer.texts) {
            entities.add(layer, text);
        }
    }
    dataset.reset();
    std::filesystem::remove(header);
    if (!messages.failures().empty()) {
        throw Error(ErrorKind::output, fmt::format("{}: {}", file.string(), messages.failures().front()));
    }
    put(file, with_plain_spaces(bytes_in(file)));
}

} // namespace trenchwright
