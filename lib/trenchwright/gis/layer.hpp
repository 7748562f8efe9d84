#pragma once

#include "trenchwright/gis/files.hpp"
#include "trenchwright/gis/frame.hpp"

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// A coordinate of a file: in the file's own system as read, in site meters once placed (gis/place.hpp).
struct ShapePoint {
    double x = 0;
    double y = 0;
    std::optional<double> file_z; ///< in the file's unit of elevation, always; nothing where the file leaves it out
    friend bool operator==(const ShapePoint&, const ShapePoint&) = default;
};
using ShapeLine = std::vector<ShapePoint>;
struct ShapeArea {
    ShapeLine outer; ///< closing point not repeated
    std::vector<ShapeLine> holes;
    friend bool operator==(const ShapeArea&, const ShapeArea&) = default;
};

/// The parts of one feature; all of one kind. Nothing (monostate) for a null or empty geometry.
using Shape = std::variant<std::monostate, std::vector<ShapePoint>, std::vector<ShapeLine>, std::vector<ShapeArea>>;

struct Feature {
    long long id = -1; ///< as the file numbers it
    Shape shape;
    bool curved = false;                       ///< had arcs, read as chords
    std::map<std::string, std::string> values; ///< by field; NULL, unset and blank ones are left out
};

/// Where to find features. The column names serve tables without geometry (CSV).
struct LayerSource {
    std::filesystem::path file = {};
    std::string layer = {};    ///< empty: the file's only layer
    std::string crs = {};      ///< overrides what the file states; empty: as stated
    bool tape_offsets = false; ///< its numbers are offsets, whatever system the file states
    std::string x_column = {}; ///< empty: "x"
    std::string y_column = {}; ///< empty: "y"
    std::string wkt_column = {};
    bool without_places = false; ///< a plain table: no place is looked for
    std::string where = {};      ///< of OGR SQL: only features for which it holds; empty: all
    bool decimal_comma = false;  ///< of a CSV: its numbers are written "1,5"
};

/// A whole layer as read.
struct LayerData {
    std::filesystem::path file;
    std::string layer;
    std::string driver;
    std::string wkt; ///< WKT2 of its horizontal system; empty when it states none
    std::vector<std::string> fields;
    std::vector<Feature> features;
    std::vector<std::string> warnings; ///< what GDAL said
    std::optional<double> z_unit_in_m; ///< unit of the vertical part of a compound system
    bool decimal_comma = false;        ///< its numbers are written "1,5"
    std::size_t in_file = 0;           ///< features the layer holds, read or not
};

/// Which of a layer's features are read, besides LayerSource::where.
struct FeatureFilter {
    std::optional<NativeBox> near = {}; ///< those whose box meets it, and those without a place
    std::string id_field = {};          ///< those whose field holds one of `ids`; empty: all
    std::vector<std::string> ids = {};
};

/// A layer that stays open to be read more than once: to find one lot, then what lies around it.
///
/// A box is asked of the index of a GeoPackage or a FlatGeobuf, then of each feature. The index beside a shapefile
/// (.qix) is never used: one that belongs to another state of the file loses features without a word, and reading past
/// 150,000 features takes a quarter of a second.
class OpenLayer {
  public:
    /// @throws Error (input) as read_layer, and for a `where` that OGR does not understand
    explicit OpenLayer(LayerSource source, const ReadLimits& limits = {});
    OpenLayer(OpenLayer&&) noexcept;
    OpenLayer& operator=(OpenLayer&&) noexcept;
    ~OpenLayer();

    /// The layer without its features.
    [[nodiscard]] const LayerData& head() const;
    /// In the order of the file.
    /// @throws Error (input) as read_layer, and for a `where` that holds for no feature of the file
    [[nodiscard]] LayerData read(const FeatureFilter& filter = {}) const;
    /// Around all its features; nothing for a layer without geometry or without features.
    [[nodiscard]] std::optional<NativeBox> extent() const;
    /// What a field holds, for "nearest known": up to `most` different texts in the order of the file.
    [[nodiscard]] std::vector<std::string> texts_of(const std::string& field, std::size_t most) const;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

/// An id as ids are compared: a whole number that a table writes with decimals is that number ("12.0" is "12"); any
/// other text stands for itself ("012" is another id).
std::string plain_id(const std::string& text);

/// Reads every feature, read-only, in the file's own coordinates.
///
/// Real numbers become their shortest text (whole ones without an exponent), dates "YYYY-MM-DD", booleans "true" and
/// "false". Arcs become chords of one degree (0.4 mm off at a radius of 10 m).
/// @throws Error (input) for what driver_for refuses, a file that does not open, several layers with none named,
///         a coordinate that is not finite, mixed geometry kinds in one feature, more than the limits allow
LayerData read_layer(const LayerSource& source, const ReadLimits& limits = {});

/// "lots.gpkg, layer parcels, feature 7": how every message names a place in the input.
std::string where(const LayerData& layer, long long feature_id);

} // namespace trenchwright
