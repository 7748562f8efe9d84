#include "trenchwright/export/json/json_value.hpp"

#include "trenchwright/base/error.hpp"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace trenchwright {

namespace {

using nlohmann::ordered_json;

/// Builds the library's value; `path` says where in the document a fault lies.
struct Builder {
    std::string path;

    ordered_json operator()(std::nullptr_t) const { return nullptr; }
    ordered_json operator()(bool yes) const { return yes; }
    ordered_json operator()(long long whole) const { return whole; }
    ordered_json operator()(double figure) const
    {
        if (!std::isfinite(figure)) {
            throw Error(ErrorKind::internal, fmt::format("plan.json: {} is {}", path, figure));
        }
        return figure + 0.0; // a minus zero becomes zero
    }
    ordered_json operator()(const std::string& text) const
    {
        try {
            std::ignore = ordered_json(text).dump();
        } catch (const ordered_json::type_error&) {
            throw Error(ErrorKind::input, fmt::format("plan.json: {}: a text of the input is not UTF-8", path));
        }
        return text;
    }
    ordered_json operator()(const JsonList& list) const
    {
        auto made = ordered_json::array();
        for (std::size_t i = 0; i < list.size(); ++i) {
            made.push_back(std::visit(Builder{fmt::format("{}[{}]", path, i)}, list[i].value));
        }
        return made;
    }
    ordered_json operator()(const JsonObject& object) const
    {
        auto made = ordered_json::object();
        for (const auto& [key, member] : object) {
            const auto inner = path.empty() ? key : fmt::format("{}.{}", path, key);
            std::ignore = (*this)(key);
            if (made.contains(key)) {
                throw Error(ErrorKind::internal, fmt::format("plan.json: {} is there twice", inner));
            }
            made[key] = std::visit(Builder{inner}, member.value);
        }
        return made;
    }
};

} // namespace

JsonValue::JsonValue(JsonList list) : value(std::move(list)) {}
JsonValue::JsonValue(JsonObject object) : value(std::move(object)) {}
JsonValue::JsonValue(std::string text) : value(std::move(text)) {}
JsonValue::JsonValue(std::string_view text) : value(std::string(text)) {}
JsonValue::JsonValue(const char* text) : value(std::string(text)) {}
JsonValue::JsonValue(const JsonValue& other) = default;
JsonValue::JsonValue(JsonValue&& other) noexcept = default;
JsonValue& JsonValue::operator=(const JsonValue& other) = default;
JsonValue& JsonValue::operator=(JsonValue&& other) noexcept = default;
JsonValue::~JsonValue() = default;

std::string json_text(const JsonValue& value)
{
    return std::visit(Builder{}, value.value).dump(1) + "\n";
}

} // namespace trenchwright
