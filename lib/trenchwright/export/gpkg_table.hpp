#pragma once

#include "trenchwright/gis/write.hpp"

#include <concepts>
#include <functional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace trenchwright {

/// The attributes of a layer, each with the way to its value, so that fields and values cannot drift apart.
template <class Item> class OutTable {
  public:
    /// @param get  from an item to a text, a whole number, a figure, or an optional one of them (unset is NULL)
    template <class Get> OutTable& column(std::string name, Get get)
    {
        using Value = std::decay_t<std::invoke_result_t<Get, const Item&>>;
        if constexpr (std::convertible_to<Value, std::string_view>) {
            fields_.push_back({.name = std::move(name), .type = OutFieldType::text});
            getters_.push_back([get](const Item& item) { return OutValue(std::string(get(item))); });
        } else if constexpr (std::integral<Value>) {
            fields_.push_back({.name = std::move(name), .type = OutFieldType::integer});
            getters_.push_back([get](const Item& item) { return OutValue(static_cast<long long>(get(item))); });
        } else if constexpr (std::floating_point<Value>) {
            fields_.push_back({.name = std::move(name), .type = OutFieldType::real});
            getters_.push_back([get](const Item& item) { return OutValue(get(item)); });
        } else if constexpr (std::convertible_to<typename Value::value_type, std::string_view>) {
            fields_.push_back({.name = std::move(name), .type = OutFieldType::text});
            getters_.push_back([get](const Item& item) {
                const auto text = get(item);
                return text ? OutValue(std::string(*text)) : OutValue();
            });
        } else {
            const bool whole = std::integral<typename Value::value_type>;
            fields_.push_back({.name = std::move(name), .type = whole ? OutFieldType::integer : OutFieldType::real});
            getters_.push_back([get](const Item& item) {
                const auto figure = get(item);
                return figure ? OutValue(*figure) : OutValue();
            });
        }
        return *this;
    }
    [[nodiscard]] const std::vector<OutField>& fields() const { return fields_; }
    [[nodiscard]] std::vector<OutValue> row(const Item& item) const
    {
        std::vector<OutValue> values;
        for (const auto& get : getters_) {
            values.push_back(get(item));
        }
        return values;
    }

  private:
    std::vector<OutField> fields_;
    std::vector<std::function<OutValue(const Item&)>> getters_;
};

} // namespace trenchwright
