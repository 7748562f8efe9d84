#pragma once

#include "trenchwright/site/nearby.hpp"
#include "trenchwright/site/row.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

/// The steps of read_site: from placed layers to the site's values. Internal to the module.
namespace trenchwright {

// --- shapes_of.cpp: geometry in our values, or a complaint about the wrong kind ---

std::vector<Point> vertices_of(const Shape& shape);
/// @throws Error (input) when the feature is not of this kind; empty for a feature without geometry
std::vector<ShapePoint> points_of(const Row& row);
/// Without repeated points. @throws Error (input) for another kind or a line without length
std::vector<Polyline> lines_of(const Row& row);
std::vector<ShapeLine> raw_lines_of(const Row& row);
/// @throws Error (input) for another kind or an improper polygon
std::vector<Polygon> areas_of(const Row& row);
/// Improper ones are made proper, with a doubt. @throws Error (input) for another kind
std::vector<Polygon> mended_areas_of(const Row& row, std::vector<ShapeWarning>& warnings);

/// One place for each part of a feature, of whatever kind.
std::vector<std::variant<Point, Polyline, Polygon>> places_of(const Row& row);

/// The feature's own id, or "<noun> <number>" counted through the part.
std::string id_of(const Row& row, std::string_view noun, std::size_t number);
/// "K" for a feature of one part, else "K-1", "K-2".
std::string part_id(const std::string& id, std::size_t index, std::size_t parts);
/// @throws Error (input) when an id is taken
void require_new_id(const Row& row, const std::string& id, std::vector<std::string>& taken);

// --- one reader per part; each adds what one layer holds ---

/// A lot with the id its file gives it.
struct Lot {
    std::string id;
    std::vector<Polygon> areas;
    std::string fault; ///< why a polygon of it is not proper; stops the run when the lot is ours
    Origin origin;
};

/// An area with what its file calls it.
struct NamedArea {
    std::string id; ///< empty: none
    Polygon area;
    Origin origin;
    bool from_parcels = false; ///< a lot of the parcel layer
};
/// "\"07-113\" (lots.gpkg, layer lots, feature 7)".
std::string named(const NamedArea& area);

/// What is kept beside the site until all layers are read.
struct Notebook {
    std::vector<Lot> lots;
    std::vector<NamedArea> neighbors;
    std::vector<NamedArea> street;
    std::vector<NamedArea> strips; ///< of street along centerlines: street where no lot lies
    std::vector<NamedArea> buildings;
    std::vector<ShapeWarning> warnings;
    std::map<std::string, std::vector<std::string>> ids; ///< by part: unique over all its layers
};
/// Whether a part named in site_parts() is read; a layer of one that is not would be dropped in silence.
bool has_reader(std::string_view part);
void read_lots(const PartLayer& layer, Notebook& notes);
void read_neighbors(const PartLayer& layer, Notebook& notes);
void read_foundations(const PartLayer& layer, Notebook& notes);
void read_right_of_way(const PartLayer& layer, Notebook& notes);
void read_surfaces(const PartLayer& layer, Site& site, Notebook& notes);
void read_keep_outs(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_marks(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_trees(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_reserves(const PartLayer& layer, std::string_view noun, std::vector<Reserve>& reserves,
                   std::vector<std::string>& ids);
void read_easements(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_spread_areas(const PartLayer& layer, Site& site);
/// @param spots  of the site: as the ground is, or as proposed
void read_spots(const PartLayer& layer, Site& site, std::vector<Spot>& spots);
void read_breaklines(const PartLayer& layer, Site& site);
void read_sources(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_footing_drains(const PartLayer& layer, Site& site, std::vector<std::string>& ids);
void read_outlets(const PartLayer& layer, Site& site, std::vector<std::string>& ids);

/// @throws Error (input) naming every word of the layer that its attribute does not take, where there are several
void require_known_words(const PartLayer& layer);

/// Whether an id of the file is one of those the job names; "12.0" is "12".
bool is_one_of(const std::string& id, const std::vector<std::string>& ids);

/// How many corners of the outline lie on the lot.
std::size_t corners_on(const std::vector<Polygon>& lot, const Polygon& outline);

/// Which lot is ours; the others become neighbors, or street where the job says so.
/// @throws Error (input) when the id of ours or of the street is not among them, or ours cannot be told from the
///         foundation
void take_own_lot(const SiteLayers& job, Site& site, Notebook& notes);

/// A building is ours when more than half of its ground lies on our lot, or a good part of it and a source stands at
/// it; a neighbor's at the lot line has but a wall there. Where none is ours by that, those are that stand on the lot
/// with more than a corner, as half of a double house does.
/// @throws Error (input) naming the nearest when none stands on our lot: what is kept from our house would be kept from
///         a stranger's
void take_own_buildings(const SiteLayers& job, Site& site, const Notebook& notes);

/// Street that no layer draws: what of the strips along centerlines, and on request of the box, no lot covers.
/// @param near  what was read around our lot; nothing: the surroundings of the site
void add_assumed_street(const SiteLayers& job, const std::optional<Box>& near, Site& site, Notebook& notes);

/// Another lot that lies over ours wins there: said with its name and the area.
void warning_lots_over_ours(const std::vector<Polygon>& ours, Notebook& notes, UnitSystem units);

/// A neighbor's lot under the street strip wins: said with both names and the area.
void warning_street_over_lots(Notebook& notes, UnitSystem units);

} // namespace trenchwright
