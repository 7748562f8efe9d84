#include "trenchwright/gis/dxf_template.hpp"

#include "trenchwright/base/error.hpp"

#include <fmt/format.h>
#include <numeric>

namespace trenchwright {

namespace {

/// GDAL's template ends below this, and its entities begin at 0x20000.
constexpr int first_handle = 0x1000;
constexpr double point_symbol_m = 0.12;
constexpr int circle_with_cross = 34; // $PDMODE

/// A group of the format: its code, then its value, each on a line.
std::string group(int code, const std::string& value)
{
    return fmt::format("{:3}\n{}\n", code, value);
}

std::string group(int code, double value_native)
{
    return group(code, fmt::format("{:.6f}", value_native));
}

std::string pattern_name(const DrawingLayer& layer)
{
    return layer.dashes_m.empty() ? "Continuous" : layer.name + " line";
}

std::string record(const char* table, const char* subclass, int handle, const std::string& owner)
{
    return group(0, table) + group(5, fmt::format("{:X}", handle)) + group(330, owner) +
           group(100, "AcDbSymbolTableRecord") + group(100, subclass);
}

/// Pen down counts up, pen up counts down.
std::string pattern_record(const DrawingLayer& layer, int handle, double meters_per_native)
{
    const double whole_m = std::accumulate(layer.dashes_m.begin(), layer.dashes_m.end(), 0.0);
    auto text = record("LTYPE", "AcDbLinetypeTableRecord", handle, "5") + group(2, pattern_name(layer)) +
                group(70, "0") + group(3, "") + group(72, "65") + group(73, std::to_string(layer.dashes_m.size())) +
                group(40, whole_m / meters_per_native);
    bool down = true;
    for (const double dash_m : layer.dashes_m) {
        text += group(49, (down ? dash_m : -dash_m) / meters_per_native) + group(74, "0");
        down = !down;
    }
    return text;
}

std::string layer_record(const DrawingLayer& layer, int handle)
{
    return record("LAYER", "AcDbLayerTableRecord", handle, "2") + group(2, layer.name) + group(70, "0") +
           group(62, std::to_string(layer.color)) + group(6, pattern_name(layer)) +
           group(370, std::to_string(layer.pen_hundredths_mm)) + group(390, "F");
}

[[noreturn]] void lacking(const std::string& what)
{
    throw Error(ErrorKind::output, fmt::format("GDAL's template for DXF has no {}", what));
}

std::size_t place_of(const std::string& text, const std::string& part, std::size_t from = 0)
{
    const auto at = text.find(part, from);
    if (at == std::string::npos) {
        lacking(part.substr(0, part.find('\n')));
    }
    return at;
}

/// A header variable stands as name, code and value on lines of their own.
void set_variable(std::string& text, const std::string& name, const std::string& value)
{
    const auto code = place_of(text, name + "\n") + name.size() + 1;
    const auto from = place_of(text, "\n", code) + 1;
    text.replace(from, place_of(text, "\n", from) - from, value);
}

void add_to_table(std::string& text, const std::string& table, const std::string& records)
{
    const auto at = place_of(text, "TABLE\n  2\n" + table + "\n");
    text.insert(place_of(text, "  0\nENDTAB\n", at), records);
}

} // namespace

int dxf_unit_code(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::inch: return 1;
    case LengthUnit::millimeter: return 4;
    case LengthUnit::centimeter: return 5;
    case LengthUnit::foot: return 2;
    case LengthUnit::meter: return 6;
    case LengthUnit::us_survey_foot: return 21;
    }
    return 0;
}

std::string dxf_header(const std::string& given, const Frame& frame, std::span<const DrawingLayer> layers)
{
    std::string text = given;
    set_variable(text, "$INSUNITS", std::to_string(dxf_unit_code(frame.native_unit)));
    set_variable(text, "$MEASUREMENT", area_unit_beside(frame.native_unit) == AreaUnit::square_meter ? "1" : "0");
    set_variable(text, "$PDMODE", std::to_string(circle_with_cross));
    set_variable(text, "$PDSIZE", fmt::format("{:.6f}", point_symbol_m / frame.meters_per_native));
    std::string patterns;
    std::string records;
    int handle = first_handle;
    for (const auto& layer : layers) {
        if (!layer.dashes_m.empty()) {
            patterns += pattern_record(layer, handle++, frame.meters_per_native);
        }
        records += layer_record(layer, handle++);
    }
    add_to_table(text, "LTYPE", patterns);
    add_to_table(text, "LAYER", records);
    return text;
}

} // namespace trenchwright
