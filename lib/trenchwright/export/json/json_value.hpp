#pragma once

#include <concepts>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace trenchwright {

struct JsonValue;
using JsonList = std::vector<JsonValue>;
/// Keys keep the order in which they were added.
using JsonObject = std::vector<std::pair<std::string, JsonValue>>;

/// A value on its way to JSON, so that the sources that gather them need no JSON library. Converts from whatever the
/// plan holds; an unset optional becomes null.
struct JsonValue {
    std::variant<std::nullptr_t, bool, long long, double, std::string, JsonList, JsonObject> value = nullptr;

    JsonValue() = default;
    JsonValue(JsonList list);
    JsonValue(JsonObject object);
    JsonValue(std::string text);
    JsonValue(std::string_view text);
    JsonValue(const char* text);
    JsonValue(std::same_as<bool> auto yes) : value(yes) {}
    template <std::integral Whole>
        requires(!std::same_as<Whole, bool> && !std::same_as<Whole, char>)
    JsonValue(Whole whole) : value(static_cast<long long>(whole))
    {
    }
    JsonValue(std::floating_point auto figure) : value(figure) {}
    template <class T> JsonValue(const std::optional<T>& maybe)
    {
        if (maybe) {
            JsonValue set(*maybe);
            value.swap(set.value);
        }
    }
    // In the source: a variant moved inline makes every long list of keys slow to compile.
    JsonValue(const JsonValue& other);
    JsonValue(JsonValue&& other) noexcept;
    JsonValue& operator=(const JsonValue& other);
    JsonValue& operator=(JsonValue&& other) noexcept;
    ~JsonValue();
};

/// One JSON value of each item.
template <class Items, class Make> JsonList json_list(const Items& items, Make make)
{
    JsonList list;
    for (const auto& item : items) {
        list.push_back(make(item));
    }
    return list;
}

/// The text, indented, with a line end. Numbers are the shortest that read back to the same value.
/// @throws Error (internal) for a number that is not finite, Error (input) for a text that is not UTF-8, both with
///         the path of keys
std::string json_text(const JsonValue& value);

} // namespace trenchwright
