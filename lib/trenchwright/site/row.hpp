#pragma once

#include "trenchwright/gis/place.hpp"
#include "trenchwright/site/layers.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace trenchwright {

/// One use of a part, read and placed.
struct PartLayer {
    const SitePart* part = nullptr;
    const LayerUse* use = nullptr;
    const SiteLayers* job = nullptr;
    PlacedLayer placed;
};

/// Inclusive limits of a figure, in SI where `believed` states them. What lies outside is a slip of unit or a sentinel.
struct Range {
    double low = 0;
    double high = 0;
};

/// Figures beyond these are not believed. Elevations: the lowest land lies at -430 m (Dead Sea shore), the highest at
/// 8849 m. The others are common practice, no source.
namespace believed {
inline constexpr Range elev_m{-500, 9000};
inline constexpr Range width_m{0, 10};
inline constexpr Range street_width_m{1, 150};
inline constexpr Range depth_m{0, 30};
inline constexpr Range accuracy_m{0, 30};
inline constexpr Range trunk_m{0.001, 12};
inline constexpr Range rod_m{-10, 30};
inline constexpr Range setback_m{0, 1000};
inline constexpr Range flow_m3ps{0, 1};
inline constexpr Range fee{0, 1e9};
inline constexpr Range days{0, 3650};
} // namespace believed

/// The attributes of one feature in our words and units; every complaint names file, layer, feature and value.
class Row {
  public:
    Row(const PartLayer& layer, const Feature& feature) : layer_(&layer), feature_(&feature) {}

    [[nodiscard]] const Feature& feature() const { return *feature_; }
    [[nodiscard]] const PartLayer& layer() const { return *layer_; }
    [[nodiscard]] Origin origin() const;

    /// As the file has it; nothing when unset.
    [[nodiscard]] std::optional<std::string> raw(std::string_view attribute) const;
    /// Through the use's words.
    [[nodiscard]] std::optional<std::string> word(std::string_view attribute) const;
    /// Index of the word among those of site_words().
    [[nodiscard]] std::optional<std::size_t> choice(std::string_view attribute) const;
    /// What a figure counts in, for messages.
    struct Unit {
        std::string_view word = {}; ///< empty for a bare count
        std::string hint = {};      ///< what to look at when the figure cannot be right
    };
    /// Range and result count as the file does.
    [[nodiscard]] std::optional<double> number(std::string_view attribute, Range range, const Unit& unit) const;
    [[nodiscard]] std::optional<double> number(std::string_view attribute, Range range,
                                               std::string_view unit = "") const
    {
        return number(attribute, range, Unit{.word = unit});
    }
    [[nodiscard]] std::optional<double> size_m(std::string_view attribute, Range range_m) const;
    [[nodiscard]] std::optional<double> elev_m(std::string_view attribute) const;
    /// A z of the geometry; nothing for the declared nodata.
    [[nodiscard]] std::optional<double> z_elev_m(std::optional<double> file_z) const;

    [[noreturn]] void stop(const std::string& text) const;
    [[noreturn]] void stop_missing(std::string_view attribute) const;

  private:
    /// A figure as the file has it, what it counts in, and what to look at when it cannot be right.
    struct Figure {
        std::string text;
        std::string_view unit;
        std::string hint;
    };
    [[nodiscard]] double plain_number(std::string_view attribute, const std::string& text) const;
    void require_range(std::string_view attribute, double value, Range range, const Figure& figure) const;
    [[nodiscard]] double elev_in_range_m(std::string_view attribute, double value, const std::string& text) const;

    const PartLayer* layer_;
    const Feature* feature_;
};

/// Checks the names of a use against the part and the file.
/// @throws Error (input) for an attribute the part has not, or a field the file has not; names the nearest known ones
void check_names(const PartLayer& layer);

/// @throws Error (input): the file has no field of the name a use gives for an attribute
[[noreturn]] void refuse_field(const LayerData& layer, const std::string& field, const std::string& attribute);

/// The unit sizes or elevations of this use are given in.
LengthUnit size_unit(const LayerUse& use, const SiteLayers& job);
LengthUnit elev_unit(const LayerUse& use, const SiteLayers& job);
/// The unit of roof areas: the use's, else the job's, else what areas count in beside the sizes.
AreaUnit area_unit(const LayerUse& use, const SiteLayers& job);
/// "-1640.42 to 29527.6 ft are believed": the limits of a figure in the file's own unit.
std::string believed_text(Range range, std::string_view unit);

} // namespace trenchwright
