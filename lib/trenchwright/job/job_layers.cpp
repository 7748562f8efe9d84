#include "trenchwright/job/job_layers.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::filesystem::path path_of(const JobNode& node)
{
    const std::filesystem::path named = text_of(node);
    return named.is_absolute() ? named : std::filesystem::path(node.file).parent_path() / named;
}

/// A table of texts; numbers are taken as written.
std::map<std::string, std::string> texts_of(const JobNode& table)
{
    if (table.kind != JobNode::Kind::table) {
        refuse(table, "must be a table");
    }
    std::map<std::string, std::string> texts;
    for (const auto& [name, member] : table.members) {
        texts[name] = member.kind == JobNode::Kind::number ? member.text : text_of(member);
    }
    return texts;
}

double nodata_of(const JobNode& node)
{
    double value = 0;
    const auto* end = node.text.data() + node.text.size();
    const auto [stop, fault] = std::from_chars(node.text.data(), end, value);
    if (node.kind != JobNode::Kind::number || fault != std::errc() || stop != end || !std::isfinite(value)) {
        refuse(node, "must be a number");
    }
    return value;
}

std::optional<LengthUnit> unit_in(const JobNode& table, std::string_view name)
{
    const auto* node = table.find(name);
    return node == nullptr ? std::nullopt : std::optional(unit_of(*node));
}

bool decimal_comma_in(const JobNode& table)
{
    const auto mark = text_in(table, "decimal");
    if (!mark.empty() && mark != "," && mark != ".") {
        refuse(*table.find("decimal"), fmt::format("\"{}\" must be \",\" or \".\"", mark));
    }
    return mark == ",";
}

void check_one_place(const JobNode& fields, const JobNode& constants)
{
    for (const auto& [attribute, value] : constants.members) {
        if (fields.find(attribute) != nullptr) {
            refuse(value, "is given as a field too; only one can hold");
        }
    }
}

LayerUse use_from(const JobNode& node, const SitePart& part)
{
    check_members(node,
                  {"file", "layer", "where", "fields", "constants", "words", "elevations", "sizes", "areas", "crs",
                   "nodata", "decimal"});
    const auto* file = node.find("file");
    if (file == nullptr) {
        refuse(node, "names no file: write file = \"...\"");
    }
    LayerUse use;
    use.file = path_of(*file);
    use.layer = text_in(node, "layer");
    use.crs = text_in(node, "crs");
    use.where = text_in(node, "where");
    use.decimal_comma = decimal_comma_in(node);
    use.elev_unit = unit_in(node, "elevations");
    use.size_unit = unit_in(node, "sizes");
    if (const auto* areas = node.find("areas")) {
        use.area_unit = area_unit_of(*areas);
    }
    const auto* fields = node.find("fields");
    const auto* constants = node.find("constants");
    if (fields != nullptr) {
        check_members(*fields, part.attributes);
        use.fields = texts_of(*fields);
    }
    if (constants != nullptr) {
        check_members(*constants, part.attributes);
        use.constants = texts_of(*constants);
    }
    if (fields != nullptr && constants != nullptr) {
        check_one_place(*fields, *constants);
    }
    if (const auto* words = node.find("words")) {
        use.words = texts_of(*words);
    }
    if (const auto* nodata = node.find("nodata")) {
        use.nodata = nodata_of(*nodata);
    }
    return use;
}

std::vector<LayerUse> uses_from(const JobNode& node, const SitePart& part)
{
    if (node.kind != JobNode::Kind::list) {
        return {use_from(node, part)};
    }
    std::vector<LayerUse> uses;
    for (const auto& item : node.items) {
        uses.push_back(use_from(item, part));
    }
    return uses;
}

} // namespace

LengthUnit unit_of(const JobNode& node)
{
    const auto word = text_of(node);
    const auto unit = length_unit_named(word);
    if (!unit) {
        refuse(node, fmt::format("\"{}\" is no unit of length: write m, cm, mm, ft, ftUS or in", word));
    }
    return *unit;
}

AreaUnit area_unit_of(const JobNode& node)
{
    const auto word = text_of(node);
    const auto unit = area_unit_named(word);
    if (!unit) {
        refuse(node, fmt::format("\"{}\" is no unit of area: write ft2, yd2 or m2", word));
    }
    return *unit;
}

std::map<std::string, std::vector<LayerUse>> layers_from(const JobNode& layers)
{
    std::vector<std::string> names;
    for (const auto& part : site_parts()) {
        names.push_back(part.name);
    }
    check_members(layers, names);
    std::map<std::string, std::vector<LayerUse>> parts;
    for (const auto& part : site_parts()) {
        if (const auto* node = layers.find(part.name)) {
            parts[part.name] = uses_from(*node, part);
        }
    }
    return parts;
}

} // namespace trenchwright
