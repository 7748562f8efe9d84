#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/gis/frame.hpp"

#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace trenchwright {

/// Where a value came from, for messages: file, layer and feature id as the file numbers it.
struct Origin {
    std::string file;
    std::string layer;
    long long feature_id = -1;
    friend bool operator==(const Origin&, const Origin&) = default;
};

/// What a buried line carries. Color and letters follow from it (APWA uniform color code).
enum class Facility {
    electric,
    gas,
    communication,
    water,
    sanitary_sewer,
    storm_sewer,
    sewer_unstated, ///< green paint that does not say sanitary or storm
    reclaimed,      ///< reclaimed water, irrigation, slurry
    unstated
};

/// ASCE 38: D records or talk, C surface features, B geophysics, A exposed and surveyed.
/// One-call paint by itself counts as D unless its record says otherwise.
enum class QualityLevel { a, b, c, d };

/// One utility line as located. Horizontal position only; depth is known only where exposed.
struct Mark {
    std::string id;
    Facility facility = Facility::unstated;
    Polyline line;
    std::optional<double> width_m;             ///< facility width; unset means "width unknown, taken as 0"
    std::optional<double> exposed_depth_m;     ///< ground to top, only where exposed (quality A)
    std::optional<QualityLevel> quality;       ///< unset: nobody stated it; no surer than D
    std::optional<double> position_accuracy_m; ///< kept apart from the tolerance and added to it; unset: not stated
    std::string date_marked;                   ///< ISO date, or a year alone; empty when not supplied
    bool may_cross = true;                     ///< false: a keep-out strip, no crossing right
    bool ends_seen = false;                    ///< where it stops it ends: somebody saw what stands there
    std::string continues = {};                ///< id of the mark whose probable run this is; empty: a mark itself
    Origin origin;
    [[nodiscard]] bool probable() const { return !continues.empty(); } ///< nobody marked it
    friend bool operator==(const Mark&, const Mark&) = default;
};

/// A piece of the ground's surface. Ground under no patch is of the job's default kind.
struct SurfacePatch {
    std::string kind; ///< a key of the job's surface table: lawn, planting, walk, drive, ...
    Polygon area;
    Origin origin;
    friend bool operator==(const SurfacePatch&, const SurfacePatch&) = default;
};

struct Tree {
    std::string id;
    Point at;
    double trunk_diameter_m = 0;
    Origin origin;
    friend bool operator==(const Tree&, const Tree&) = default;
};

/// May never be entered by any part of the trench.
struct KeepOut {
    std::string id;
    std::string reason;
    Polygon area;
    Origin origin;
    friend bool operator==(const KeepOut&, const KeepOut&) = default;
};

/// Perforated pipe along the footing inside a foundation, laid to the pump's pit.
struct FootingDrain {
    std::string id;
    Polyline line;
    Origin origin;
    friend bool operator==(const FootingDrain&, const FootingDrain&) = default;
};

/// Something a trench keeps a distance from: a well, a part of a septic system, an easement.
struct Reserve {
    std::string id;
    std::variant<Point, Polyline, Polygon> place;
    std::string holder; ///< of an easement; empty: not stated
    Origin origin;
    friend bool operator==(const Reserve&, const Reserve&) = default;
};

/// A measured ground height.
struct Spot {
    std::string id;
    Point at;
    double elev_m = 0;
    Origin origin;
    friend bool operator==(const Spot&, const Spot&) = default;
};

/// A line no triangle of the ground may cross (curb, wall, top of bank).
struct Breakline {
    std::vector<Point3> line;
    Origin origin;
    friend bool operator==(const Breakline&, const Breakline&) = default;
};

enum class Water { roof, sump, footing };
enum class SourceKind { downspout, pump };

/// Where water leaves the house.
struct Source {
    std::string id;
    SourceKind kind = SourceKind::downspout;
    Water water = Water::roof;
    Point at;                                    ///< at or outside the wall
    std::optional<double> highest_invert_elev_m; ///< the wall core or adapter; unset: by cover alone
    double roof_area_m2 = 0;
    double pump_flow_m3ps = 0;
    Origin origin;
    friend bool operator==(const Source&, const Source&) = default;
};

enum class OutletKind { curb, popup, inlet, swale };
enum class Permission { yes, ask, no, unstated };
/// What an inlet leads to.
enum class Sewer { unstated, storm, sanitary, combined };

/// Where water may go. A point, any admissible point of a line, or any admissible point of an area.
struct Outlet {
    std::string id;
    std::string name;
    OutletKind kind = OutletKind::popup;
    std::variant<Point, Polyline, Polygon> place;
    std::map<Water, Permission> permission; ///< absent means unstated
    Sewer sewer = Sewer::unstated;          ///< that it leads into
    std::optional<double> lowest_invert_elev_m;
    std::optional<double> highest_invert_elev_m;
    std::optional<double> gutter_elev_m; ///< curb outlets
    std::optional<double> curb_top_elev_m;
    std::optional<double> setback_foundation_m;
    std::optional<double> setback_lot_line_m;
    std::optional<double> setback_street_m; ///< from the right-of-way strip
    std::string permit;                     ///< name of the permit; empty: none stated
    Cents fee_cents = 0;
    std::optional<double> lead_time_days;
    std::string source_text; ///< the rule's wording or where it was read
    Origin origin;
    friend bool operator==(const Outlet&, const Outlet&) = default;
};

/// A layer the job named and how many features came of it.
struct LayerRecord {
    std::string part; ///< "utilities", "spots", ...
    std::string file;
    std::string layer;
    std::size_t features = 0; ///< near the lot
    std::size_t in_file = 0;  ///< of the layer as a whole
    friend bool operator==(const LayerRecord&, const LayerRecord&) = default;
};

/// Everything known about one lot before digging, in site meters.
struct Site {
    Frame frame;
    std::vector<Polygon> parcel;                    ///< our lot, usually one polygon
    std::vector<Polygon> neighbors;                 ///< other lots: keep-outs
    std::vector<std::string> neighbor_ids;          ///< one for each of `neighbors`, empty where its file has none
    std::vector<Polygon> right_of_way;              ///< public strip that may be crossed with a permit
    std::vector<Polygon> foundations;               ///< of the buildings on our lot
    std::vector<Polygon> neighbor_buildings;        ///< of the same layer, on other lots
    std::vector<std::string> foundation_ids;        ///< one for each of `foundations`, or none at all; may be empty
    std::vector<std::string> neighbor_building_ids; ///< one for each of `neighbor_buildings`, likewise
    std::vector<Mark> marks;            ///< those supplied, behind them the probable runs; see with_probable_runs
    std::vector<SurfacePatch> surfaces; ///< later patches lie on top of earlier ones
    std::vector<Tree> trees;
    std::vector<KeepOut> keep_outs;
    std::vector<Reserve> wells;
    std::vector<Reserve> septic;
    std::vector<Reserve> easements;
    std::vector<Spot> spots;
    std::vector<Spot> proposed_spots;  ///< heights the yard is to have
    std::vector<Polygon> spread_areas; ///< where dirt left over may be spread
    std::vector<Breakline> breaklines;
    std::optional<Raster> dem;
    std::vector<Source> sources;
    std::vector<FootingDrain> footing_drains;
    std::vector<Outlet> outlets;
    std::vector<LayerRecord> layers;
    std::vector<Finding> findings; ///< doubts met while reading and checking
};

/// "gas", "communication"; the words accepted in files and printed in reports.
std::string_view facility_name(Facility facility);
std::optional<Facility> facility_named(std::string_view word);
/// APWA color word and the letters painted beside the mark: {"yellow", "G"}.
/// Source: APWA uniform color code (ANSI Z535.1); letters: common practice, no source.
struct MarkCode {
    std::string_view color;
    std::string_view letters;
};
MarkCode mark_code(Facility facility);
/// "gas G"; "probable run of gas G, not marked".
std::string mark_name(const Mark& mark);
/// The same with what to do about it: "probable run of gas G (not marked: ask for a re-mark)".
std::string mark_name_and_advice(const Mark& mark);
/// " and the mark may be off by 6.0 in"; empty where its record states no accuracy.
std::string accuracy_words(const Mark& mark, UnitSystem units);
/// Color and letters, "yellow, G"; "no paint" for a probable run.
std::string paint_words(const Mark& mark, std::string_view between = ", ");
/// "G"; "G?" for a probable run.
std::string mark_letters(const Mark& mark);
/// The marks without the probable runs behind them.
std::span<const Mark> supplied_marks(const Site& site);
std::string_view outlet_kind_name(OutletKind kind);
/// As people read it; outlet_kind_name is how files spell it.
std::string_view outlet_kind_words(OutletKind kind);
std::string_view water_name(Water water);
std::string_view permission_name(Permission permission);
std::string_view sewer_name(Sewer sewer);
/// "A" to "D", "not stated", or "not marked".
std::string quality_word(const Mark& mark);
Permission permission_for(const Outlet& outlet, Water water);

/// The kinds of water that leave at a source: its own, and footing water too where it is a pump and the lot has a
/// footing drain, since every drain along the footing runs to the pit of a pump.
std::set<Water> waters_of(const Site& site, const Source& source);
/// Of all its sources.
std::set<Water> waters_of(const Site& site);
/// "sump and footing": what leaves at a source, as people read it.
std::string waters_text(const Site& site, const Source& source);
/// The weakest permission of the kinds of water that leave at a source: no, then unstated, then ask, then yes.
Permission permission_for(const Site& site, const Outlet& outlet, const Source& source);

} // namespace trenchwright
