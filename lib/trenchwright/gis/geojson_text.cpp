#include "trenchwright/gis/geojson_text.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/system_text.hpp"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

namespace trenchwright {

namespace {

using Json = nlohmann::json;

bool same_word(std::string_view a, std::string_view b)
{
    return std::ranges::equal(
        a, b, {}, [](unsigned char c) { return std::tolower(c); }, [](unsigned char c) { return std::tolower(c); });
}

/// Listens to the parser; holds no more than the way down to where it is and one geometry.
class Look : public Json::json_sax_t {
  public:
    explicit Look(const std::filesystem::path& file) : file_(file) {}
    GeojsonText take() { return std::move(found_); }

    bool null() override { return scalar(std::nullopt); }
    bool boolean(bool /*value*/) override { return scalar(std::nullopt); }
    bool number_integer(number_integer_t value) override { return scalar(static_cast<double>(value)); }
    bool number_unsigned(number_unsigned_t value) override { return scalar(static_cast<double>(value)); }
    bool number_float(number_float_t value, const string_t& /*text*/) override { return scalar(value); }
    bool binary(binary_t& /*value*/) override { return true; }
    bool string(string_t& value) override
    {
        if (level() != nullptr && level()->is_crs && same_word(key_, "type")) {
            refuse_fetched(value);
        }
        if (inside_crs()) {
            refuse_files(value);
        }
        return scalar(std::nullopt);
    }
    bool start_object(std::size_t /*count*/) override
    {
        const bool ours = in_list() == nullptr && attributes_ == 0;
        push({.is_crs = ours && same_word(key_, "crs"), .is_geometry = ours && key_ == "geometry"});
        return true;
    }
    bool key(string_t& name) override
    {
        key_ = name;
        return true;
    }
    bool end_object() override { return pop(); }
    bool start_array(std::size_t /*count*/) override
    {
        push({.is_list = true});
        return true;
    }
    bool end_array() override
    {
        add_vertex(*level());
        return pop();
    }
    bool parse_error(std::size_t place, const std::string& token, const Json::exception& /*fault*/) override
    {
        found_.fault = fmt::format("not proper JSON at byte {}, near \"{:.40}\"", place, token);
        return false;
    }

  private:
    struct Level {
        bool is_list = false;
        bool is_crs = false;
        bool in_crs = false; ///< stands inside such a member
        bool is_geometry = false;
        bool is_attributes = false;
        std::string key = {};                            ///< under which it stands
        std::vector<std::optional<double>> numbers = {}; ///< the first three of a list
    };

    [[nodiscard]] Level* level() { return levels_.empty() ? nullptr : &levels_.back(); }
    [[nodiscard]] const Level* in_list() { return level() != nullptr && level()->is_list ? level() : nullptr; }

    void push(Level next)
    {
        const Level* list = in_list();
        next.key = list == nullptr ? key_ : list->key;
        next.in_crs = inside_crs();
        next.is_attributes = !next.is_list && list == nullptr && key_ == "properties" && !inside_crs();
        attributes_ += next.is_attributes ? 1 : 0;
        scalar(std::nullopt);
        levels_.push_back(std::move(next));
    }
    bool pop()
    {
        const auto ended = std::move(levels_.back());
        levels_.pop_back();
        attributes_ -= ended.is_attributes ? 1 : 0;
        if (ended.is_geometry || levels_.empty()) {
            keep_mixed();
        }
        return true;
    }
    [[nodiscard]] bool inside_crs() { return level() != nullptr && (level()->is_crs || level()->in_crs); }

    bool scalar(std::optional<double> number)
    {
        if (in_list() != nullptr && level()->numbers.size() < 3) {
            level()->numbers.push_back(number);
        }
        return true;
    }
    void add_vertex(const Level& list)
    {
        const bool place = attributes_ == 0 && list.key == "coordinates" && list.numbers.size() >= 2 &&
                           list.numbers[0] && list.numbers[1];
        if (place) {
            places_.push_back(*list.numbers[0]);
            places_.push_back(*list.numbers[1]);
            heights_.push_back(list.numbers.size() > 2 && list.numbers[2].has_value());
        }
    }
    void keep_mixed()
    {
        const bool some = std::ranges::find(heights_, true) != heights_.end();
        const bool all = std::ranges::find(heights_, false) == heights_.end();
        if (some && !all) {
            keep(found_.mixed.try_emplace(std::move(places_), heights_).first->second);
        }
        places_.clear();
        heights_.clear();
    }
    /// Of two geometries at the same places a height counts where both have it.
    void keep(VertexHeights& known) const
    {
        for (std::size_t i = 0; i < known.size(); ++i) {
            known[i] = known[i] && heights_[i];
        }
    }
    void refuse_files(const std::string& system) const
    {
        try {
            refuse_files_of_system(system);
        } catch (const Error& fault) {
            throw Error(ErrorKind::input, fmt::format("{}: its member crs: {}", file_.string(), fault.what()));
        }
    }
    void refuse_fetched(const std::string& type) const
    {
        const auto starts_with = [&](std::string_view word) {
            return type.size() >= word.size() && same_word(std::string_view(type).substr(0, word.size()), word);
        };
        if (starts_with("link") || starts_with("url")) {
            throw Error(ErrorKind::input,
                        fmt::format("{}: its member crs is of type \"{}\": the coordinate system would have to be "
                                    "fetched from an address, and nothing is fetched. Take that member out of the file "
                                    "and state the system with `crs`",
                                    file_.string(), type));
        }
    }

    const std::filesystem::path& file_;
    std::vector<Level> levels_;
    std::string key_;
    std::size_t attributes_ = 0; ///< how many levels of attributes stand around
    std::vector<double> places_;
    VertexHeights heights_;
    GeojsonText found_;
};

} // namespace

GeojsonText look_through_geojson(const std::filesystem::path& file)
{
    std::ifstream stream(file, std::ios::binary);
    Look look(file);
    Json::sax_parse(stream, &look);
    return look.take();
}

VertexHeights heights_in_wkt(std::string_view wkt)
{
    VertexHeights heights;
    std::size_t numbers = 0;
    bool in_word = false;
    const auto end_vertex = [&] {
        if (numbers >= 2) {
            heights.push_back(numbers >= 3);
        }
        numbers = 0;
    };
    for (const char c : wkt) {
        const bool apart = c == '(' || c == ')' || c == ',' || std::isspace(static_cast<unsigned char>(c)) != 0;
        if (!apart && !in_word && std::isalpha(static_cast<unsigned char>(c)) == 0) {
            ++numbers;
        }
        in_word = !apart;
        if (c == '(' || c == ')' || c == ',') {
            end_vertex();
        }
    }
    return heights;
}

} // namespace trenchwright
