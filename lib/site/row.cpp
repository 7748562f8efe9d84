#include "site/row.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

double elev_unit_m(const LayerUse& use, const SiteLayers& job)
{
    return metres_per(use.elev_unit.value_or(job.elev_unit));
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
    return value == feature_->values.end() ? std::nullopt : std::optional(value->second);
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

std::optional<std::size_t> Row::choice(std::string_view attribute, std::span<const std::string_view> allowed) const
{
    const auto text = word(attribute);
    if (!text) {
        return std::nullopt;
    }
    const auto found = std::find(allowed.begin(), allowed.end(), *text);
    if (found == allowed.end()) {
        stop(fmt::format("{} \"{}\" is not one of {}; translate it under `words`", attribute, *text,
                         fmt::join(allowed, ", ")));
    }
    return static_cast<std::size_t>(found - allowed.begin());
}

std::optional<double> Row::number(std::string_view attribute, Range range) const
{
    const auto text = raw(attribute);
    if (!text) {
        return std::nullopt;
    }
    const auto parsed = parse_number(*text);
    if (!parsed.ok) {
        stop(fmt::format("{} \"{}\" is not a number (decimal point, no unit)", attribute, *text));
    }
    return in_range(attribute, parsed.value, range, *text);
}

std::optional<double> Row::size_m(std::string_view attribute, Range range_m) const
{
    const double unit_m = size_unit_m();
    const auto value = number(attribute, {.low = range_m.low / unit_m, .high = range_m.high / unit_m});
    return value ? std::optional(*value * unit_m) : std::nullopt;
}

std::optional<double> Row::elev_m(std::string_view attribute) const
{
    const auto text = raw(attribute);
    const auto parsed = text ? parse_number(*text) : ParsedNumber{};
    if (!text || (parsed.ok && layer_->use->nodata && parsed.value == *layer_->use->nodata)) {
        return std::nullopt;
    }
    if (!parsed.ok) {
        stop(fmt::format("{} \"{}\" is not a number (decimal point, no unit)", attribute, *text));
    }
    return in_range(attribute, parsed.value * elev_unit_m(), believed::elev_m, *text);
}

std::optional<double> Row::z_elev_m(std::optional<double> file_z) const
{
    if (!file_z || (layer_->use->nodata && *file_z == *layer_->use->nodata)) {
        return std::nullopt;
    }
    return in_range("z", *file_z * elev_unit_m(), believed::elev_m, fmt::format("{}", *file_z));
}

double Row::in_range(std::string_view attribute, double value_si, Range range, const std::string& text) const
{
    const bool inside = value_si >= range.low && value_si <= range.high;
    if (!inside) {
        stop(fmt::format("{} {} is out of range (in SI {:.6g}, believed from {:.6g} to {:.6g}); "
                         "if it stands for \"unknown\", declare it as nodata",
                         attribute, text, value_si, range.low, range.high));
    }
    return value_si;
}

double Row::size_unit_m() const
{
    return metres_per(layer_->use->size_unit.value_or(layer_->job->size_unit));
}

double Row::elev_unit_m() const
{
    return trenchwright::elev_unit_m(*layer_->use, *layer_->job);
}

void Row::stop(const std::string& text) const
{
    throw Error(ErrorKind::input, fmt::format("{}: {}", where(layer_->placed.data, feature_->id), text));
}

void Row::stop_missing(std::string_view attribute) const
{
    stop(fmt::format("has no {}; name its field under `fields` or give one value under `constants`", attribute));
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
    for (const auto& [attribute, field] : layer.use->fields) {
        require_known(attribute);
        if (attribute != "wkt" && std::find(data.fields.begin(), data.fields.end(), field) == data.fields.end()) {
            throw Error(ErrorKind::input, fmt::format("{}: no field \"{}\" for {}; its fields are {}", place, field,
                                                      attribute, fmt::join(data.fields, ", ")));
        }
    }
    for (const auto& [attribute, value] : layer.use->constants) {
        require_known(attribute);
    }
}

} // namespace trenchwright
