#pragma once

#include "trenchwright/site/reading_rules.hpp"
#include "trenchwright/site/site.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// One part of the site and the file that plays it.
struct LayerUse {
    std::filesystem::path file;                   ///< absolute, or relative to the job file's folder (already joined)
    std::string layer;                            ///< empty: the file's only layer
    std::map<std::string, std::string> fields;    ///< attribute -> field name in the file, e.g. "facility" -> "TYPE"
    std::map<std::string, std::string> constants; ///< attribute -> value for every feature (no such field in the file)
    std::map<std::string, std::string> words;     ///< value in the file -> our word, e.g. "COMM" -> "communication"
    std::optional<LengthUnit> elev_unit;          ///< unit of elevations in this file; unset: the job's
    std::optional<LengthUnit> size_unit;          ///< unit of widths, depths, diameters; unset: the job's
    std::optional<AreaUnit> area_unit;            ///< unit of roof areas; unset: see area_unit()
    /// System of the file, over what it states; empty: as stated; "tape": offsets, on a tape lot only.
    std::string crs;
    std::optional<double> nodata; ///< a sentinel that means "no elevation", in the file's unit
    std::string where = {};       ///< OGR SQL's WHERE: only features for which it holds; empty: all
    bool decimal_comma = false;   ///< a CSV whose numbers are written "1,5"
};

/// How the site's coordinates are to be understood.
struct FrameChoice {
    enum class Kind {
        from_layers, ///< the system of the parcel layer (or the first layer that has one)
        named,       ///< `crs`, any text PROJ understands offline, e.g. "EPSG:2229"
        tape         ///< no system: offsets from a house corner in `tape_unit`
    };
    Kind kind = Kind::from_layers;
    std::string crs;
    LengthUnit tape_unit = LengthUnit::foot;
};

/// What the job file says about the data. Several uses of one part are read in order.
struct SiteLayers {
    FrameChoice frame;
    LengthUnit elev_unit = LengthUnit::meter; ///< of elevations unless a layer says otherwise
    LengthUnit size_unit = LengthUnit::meter; ///< of widths, depths, diameters
    std::optional<AreaUnit> area_unit;        ///< of roof areas; unset: what areas count in beside the sizes
    ReadingRules reading;
    /// Which lots are ours when the layer holds several, joined where they meet; empty: the one with the foundation.
    std::vector<std::string> parcel_ids;
    /// The street is what no lot of the parcel layer covers, near our lot, besides what the right-of-way layer holds.
    bool street_between_lots = false;
    /// Lots of the parcel layer that are street, not neighbors: cities often draw the street as a parcel of its own.
    std::vector<std::string> street_ids;
    std::optional<double> instrument_height_m; ///< elevation of the line of sight, for spots given as rod readings
    std::map<std::string, std::vector<LayerUse>> parts; ///< by part name, see site_parts()
    std::vector<std::string> surface_kinds;             ///< the kinds there are rules for; empty: any word is taken
    UnitSystem print_units = UnitSystem::metric;        ///< how findings print their figures
};

/// The ids of our lots as the job names them, "12, 13"; empty where it names none.
std::string parcel_text(const SiteLayers& layers);

/// The parts a job may name, in the order they are read, each with the attributes it takes, for "nearest known key" and
/// for `rules`.
struct SitePart {
    std::string name;     ///< "parcel", "foundation", "utilities", ...
    std::string geometry; ///< for people: "polygons", "lines", ...
    std::vector<std::string> attributes;
    std::string help;
};
const std::vector<SitePart>& site_parts();
/// The words an attribute of a part takes, in the files or after `words`; empty for one that takes any text.
struct SiteWords {
    std::string part;
    std::string attribute;
    std::vector<std::string> words;
};
const std::vector<SiteWords>& site_words();

/// Reads, converts to site meters and checks every layer.
///
/// An attribute is a constant of the use, or the field the use names for it, or the field of the attribute's own name;
/// NULL and blank values are unset. A feature of several parts gives one value per part, ids "K-1", "K-2" (marks,
/// outlets). Missing ids are numbered by part. A table without geometry is placed by its columns `x` and `y`
/// (or `wkt`), in the site's own system when it states none.
/// Doubtful polygons: in our lot, foundation, right_of_way, keep_outs and outlets they stop the run; in surfaces,
/// neighbors and other lots they are made proper and a finding states the change of area, one for all that lie away.
/// A neighbor's lot under the right of way stays a neighbor's, with a finding. A feature without a place stops the
/// run.
///
/// On a lot with a coordinate system our lot is found first. Of the layers that were not measured on it only the parts
/// of features are kept that come within ReadingRules::around_m of the box around our lot, the sources, outlets,
/// footing drains, spots, breaklines and spread areas; those layers are read as a whole.
///
/// Words an attribute does not take are named all at once, those of one layer in one error.
/// Only regular local files are opened, through named drivers, read-only (see gis/).
/// @throws Error (input) naming file, layer, feature and value: unreadable file, missing system, unknown word, a
///         number out of range, NaN, wrong geometry type. Doubts that do not stop the run become
///         Site::findings. An empty or absent utility layer leaves Site::marks empty: "no marks supplied".
Site read_site(const SiteLayers& layers);

} // namespace trenchwright
