#pragma once

#include "trenchwright/dig/excavation.hpp"
#include "trenchwright/geom/over.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/site/site.hpp"

#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace trenchwright {

/// What stands beside a trench. It decides what may be done there; a name never does.
enum class SiteObjectKind { foundation, neighbor, lot_line, keep_out, tree, surface, hand_dig_zone };
/// In data: "foundation", "lot_line".
std::string_view site_object_kind_word(SiteObjectKind kind);
/// Whether a trench's sides may not be sloped onto it. A surface can be put back, a hand-dig zone be dug by hand.
bool bars_slopes(SiteObjectKind kind);
/// Whether no heap may lie on it or beyond it.
bool bars_spoil(SiteObjectKind kind);

/// Something beside a trench that an opening or a heap must not reach.
struct SiteObject {
    SiteObjectKind kind = SiteObjectKind::foundation;
    std::string name = {}; ///< "foundation", "keep-out K2 (fence)", a surface's kind; never decides anything
    std::variant<Polygon, Polyline, Point> shape = {};
    double reach_m = 0; ///< kept from it besides
    friend bool operator==(const SiteObject&, const SiteObject&) = default;
};

/// A stretch along which it is reached, and how far too far at the worst place.
struct Encroachment {
    SiteObjectKind kind = SiteObjectKind::foundation;
    std::string name = {};
    ExceedingSpan over = {};
    friend bool operator==(const Encroachment&, const Encroachment&) = default;
};

/// What stands beside trenches of a site: foundations, neighbors, keep-outs, inner tree circles, the lot line off the
/// street, the surfaces of the kinds given, and the hand-dig zones of marks.
std::vector<SiteObject> objects_beside(const Site& site, const RouteRules& rules,
                                       const std::vector<std::string>& surfaces);

/// Where an opening comes to something beside it. By round distance, so what stands past the trench's end counts too.
/// @param cuts  the stretches to look at
/// @param side_slope_ratio  the opening is width_m at the bottom and wider by this times the cut on each side
std::vector<Encroachment> reached_by_opening(const Polyline& line, const std::vector<CutRun>& cuts,
                                             const std::vector<SiteObject>& all, double width_m,
                                             double side_slope_ratio);

/// How spoil is heaped along a trench.
struct Heap {
    double width_m = 0;          ///< of the trench's bottom
    double side_slope_ratio = 0; ///< of its sides, in the runs that are sloped
    double setback_m = 0;        ///< trench edge to the foot of the heap
    double swell_ratio = 0;
    double repose_rad = 0;
    friend bool operator==(const Heap&, const Heap&) = default;
};

/// Foot to foot of the heap: a triangle of the loose volume at its angle of repose, sqrt(4 area / tan) wide.
double heap_width_m(const Heap& heap, double cut_m, bool sloped);
/// From the trench's axis to the far foot: half the opening, the setback, the heap.
double heap_end_m(const Heap& heap, double cut_m, bool sloped);

/// One side of a trench as a place for the spoil.
struct SpoilSide {
    std::vector<Encroachment> taken = {}; ///< where the heap would lie on or beyond something
    double taken_m = 0;                   ///< length of those stretches, together
    friend bool operator==(const SpoilSide&, const SpoilSide&) = default;
};

/// Both sides, square to the axis; at a bend each run counts by itself.
struct SpoilRoom {
    SpoilSide left = {}; ///< as seen upstream
    SpoilSide right = {};
    bool on_left = true; ///< the side with more room
    double widest_m = 0; ///< of the heap's foot
    double widest_station_m = 0;
    friend bool operator==(const SpoilRoom&, const SpoilRoom&) = default;
};
SpoilRoom spoil_room(const Polyline& line, const std::vector<CutRun>& cuts, const std::vector<SiteObject>& all,
                     const Heap& heap);

} // namespace trenchwright
