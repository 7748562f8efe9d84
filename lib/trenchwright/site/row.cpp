#include "trenchwright/site/row.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

std::string on_one_line(std::string text)
{
    std::ranges::replace_if(
        text, [](char letter) { return letter == '\t' || letter == '\n' || letter == '\r'; }, ' ');
    return text;
}

} // namespace

LengthUnit size_unit(const LayerUse& use, const SiteLayers& job)
{
    return use.size_unit.value_or(job.size_unit);
}

LengthUnit elev_unit(const LayerUse& use, const SiteLayers& job)
{
    return use.elev_unit.value_or(job.elev_unit);
}

AreaUnit area_unit(const LayerUse& use, const SiteLayers& job)
{
    const auto stated = use.area_unit ? use.area_unit : job.area_unit;
    return stated.value_or(area_unit_beside(size_unit(use, job)));
}

std::string believed_text(Range range, std::string_view unit)
{
    const auto plain = [](double value) {
        return std::abs(value) < 1e6 ? fmt::format("{:.6g}", value) : fmt::format("{:.0f}", value);
    };
    return fmt::format("{} to {}{}{} are believed", plain(range.low), plain(range.high), unit.empty() ? "" : " ", unit);
}

Origin Row::origin() const
{
    return {
        .file = layer_->use->file.filename().string(), .layer = layer_->placed.data.layer, .feature_id = feature_->id};
}

std::optional<std::string> Row::raw(std::string_view attribute) const
{
    const std::string key(attribute);
    const auto& use = *layer_->use;
    if (const auto constant = use.constants.find(key); constant != use.constants.end()) {
        return constant->second;
    }
    const auto named = use.fields.find(key);
    const auto value = feature_->values.find(named == use.fields.end() ? key : named->second);
    if (value == feature_->values.end()) {
        return std::nullopt;
    }
    if (const auto fault = text_fault(value->second)) {
        stop(fmt::format("{} {}", attribute, *fault));
    }
    return on_one_line(value->second);
}

std::optional<std::string> Row::word(std::string_view attribute) const
{
    auto text = raw(attribute);
    if (text) {
        const auto ours = layer_->use->words.find(*text);
        return ours == layer_->use->words.end() ? text : std::optional(ours->second);
    }
    return text;
}

std::optional<double> Row::number(std::string_view attribute, Range range, const Unit& unit) const
{
    const auto text = raw(attribute);
    if (!text) {
        return std::nullopt;
    }
    const double value = plain_number(attribute, *text);
    require_range(attribute, value, range, {.text = *text, .unit = unit.word, .hint = unit.hint});
    return value;
}

std::optional<double> Row::size_m(std::string_view attribute, Range range_m) const
{
    const auto text = raw(attribute);
    if (!text) {
        return std::nullopt;
    }
    const auto unit = size_unit(*layer_->use, *layer_->job);
    const double unit_m = meters_per(unit);
    const double value = plain_number(attribute, *text);
    require_range(
        attribute, value, {.low = range_m.low / unit_m, .high = range_m.high / unit_m},
        {.text = *text,
         .unit = unit_word(unit),
         .hint = fmt::format("; sizes of this layer are read as {}, see `sizes` in the job file", unit_word(unit))});
    return value * unit_m;
}

std::optional<double> Row::elev_m(std::string_view attribute) const
{
    const auto text = raw(attribute);
    const auto parsed = text ? parse_number(*text, layer_->use->decimal_comma) : ParsedNumber{};
    if (!text || (parsed.ok && layer_->use->nodata && parsed.value == *layer_->use->nodata)) {
        return std::nullopt;
    }
    return elev_in_range_m(attribute, plain_number(attribute, *text), *text);
}

std::optional<double> Row::z_elev_m(std::optional<double> file_z) const
{
    if (!file_z || (layer_->use->nodata && *file_z == *layer_->use->nodata)) {
        return std::nullopt;
    }
    return elev_in_range_m("z", *file_z, fmt::format("{}", *file_z));
}

double Row::elev_in_range_m(std::string_view attribute, double value, const std::string& text) const
{
    const auto unit = elev_unit(*layer_->use, *layer_->job);
    const double unit_m = meters_per(unit);
    require_range(
        attribute, value, {.low = believed::elev_m.low / unit_m, .high = believed::elev_m.high / unit_m},
        {.text = text, .unit = unit_word(unit), .hint = "; if it stands for \"unknown\", declare it as nodata"});
    return value * unit_m;
}

double Row::plain_number(std::string_view attribute, const std::string& text) const
{
    const bool comma = layer_->use->decimal_comma;
    const auto parsed = parse_number(text, comma);
    if (!parsed.ok) {
        stop(fmt::format("{} \"{}\" is not a number (decimal {}, no unit)", attribute, text,
                         comma ? "comma" : "point"));
    }
    return parsed.value;
}

void Row::require_range(std::string_view attribute, double value, Range range, const Figure& figure) const
{
    const bool inside = value >= range.low && value <= range.high;
    if (!inside) {
        stop(fmt::format("{} {}{}{} is out of range: {}{}", attribute, figure.text, figure.unit.empty() ? "" : " ",
                         figure.unit, believed_text(range, figure.unit), figure.hint));
    }
}

void Row::stop(const std::string& text) const
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", where(layer_->placed.data, feature_->id), text));
}

void Row::stop_missing(std::string_view attribute) const
{
    stop(fmt::format("has no {}; name its field under `fields` or give one value under `constants`", attribute));
}

void refuse_field(const LayerData& layer, const std::string& field, const std::string& attribute)
{
    throw Error(ErrorKind::input,
                fmt::format("{}, layer {}: no field \"{}\" for {}; its fields are {}", layer.file.string(), layer.layer,
                            field, attribute, fmt::join(layer.fields, ", ")));
}

void check_names(const PartLayer& layer)
{
    const auto& data = layer.placed.data;
    const auto& known = layer.part->attributes;
    const auto place = fmt::format("{}, layer {}", data.file.string(), data.layer);
    const auto require_known = [&](const std::string& attribute) {
        // Any part may come as a table of places.
        const bool column = attribute == "x" || attribute == "y" || attribute == "wkt";
        if (!column && std::find(known.begin(), known.end(), attribute) == known.end()) {
            throw Error(ErrorKind::input, fmt::format("{}: {} have no attribute \"{}\"; theirs are {}", place,
                                                      layer.part->name, attribute, fmt::join(known, ", ")));
        }
    };
    // A GeoJSON file without a feature has no field either: that it is empty is what is wrong with it.
    const bool empty = data.features.empty() && data.fields.empty();
    for (const auto& [attribute, field] : layer.use->fields) {
        require_known(attribute);
        if (!empty && attribute != "wkt" &&
            std::find(data.fields.begin(), data.fields.end(), field) == data.fields.end()) {
            refuse_field(data, field, attribute);
        }
    }
    for (const auto& [attribute, value] : layer.use->constants) {
        require_known(attribute);
    }
}

} // namespace trenchwright
