#pragma once

#include "trenchwright/base/refusal.hpp"
#include "trenchwright/base/section.hpp"
#include "trenchwright/ground/ground.hpp"
#include "trenchwright/route/setback_rules.hpp"
#include "trenchwright/site/site.hpp"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace trenchwright {

/// What a kind of surface asks of a trench through it.
struct SurfaceRule {
    bool may_enter = true;
    double restore_per_m2 = 0;    ///< money to put the surface back
    double min_cover_m = 0;       ///< ground to top of pipe
    double lowest_cover_m = 0;    ///< taken where nothing drains with the cover above; 0: none
    std::string pipe_class;       ///< of pipe, in words, that may lie there; empty: any
    double slab_m = 0;            ///< thickness of the paving slab; 0: none
    bool carries_vehicles = true; ///< its own cover holds near every outlet too; so until stated otherwise
    friend bool operator==(const SurfaceRule&, const SurfaceRule&) = default;
};

/// A bend that can be bought.
struct FittingRule {
    double angle_rad = 0;
    double price = 0; ///< supplied and set
    friend bool operator==(const FittingRule&, const FittingRule&) = default;
};

/// A pipe smaller than the drain's, by which it ends in a curb too low for its own.
struct CurbPipe {
    double outside_diameter_m = 0;
    double wall_m = 0;
    friend bool operator==(const CurbPipe&, const CurbPipe&) = default;
};

/// What the ground outside our lot is.
enum class OutsideLot {
    right_of_way_only, ///< only the right-of-way polygons may be entered
    not_neighbors      ///< anything that is no neighbor's lot
};

/// A footing that no trench may undermine: beside it the trench's bottom lies no deeper below the footing's than its
/// edge is away, over the ratio.
struct FootingWedge {
    double bottom_elev_m = 0;
    double outer_edge_m = 0;         ///< of the footing beyond the foundation's outline
    double side_per_depth_ratio = 0; ///< above 0
    double let_off_m = 0;            ///< not within this of a source, where the pipe has to leave the wall
    friend bool operator==(const FootingWedge&, const FootingWedge&) = default;
};

/// Rules and prices the route is weighed by. Money in currency units; every value is a setting.
struct RouteRules {
    TrenchSection section;
    double min_fall_ratio = 0;
    double deepest_cut_m = 0;
    std::optional<FootingWedge> wedge; ///< where the footing's depth is known
    bool polish = true;                ///< else whether a line drains is all that is asked
    double reserve_fall_m = 0;         ///< arrive this far above the outlet's lowest invert, or half or a quarter
                                       ///< of it, where any such route is to be had
    double tolerance_m = 0;            ///< hand-dig zone: beyond half the facility width, each side
    double foundation_clearance_m = 0; ///< trench edge to foundation, except where the pipe leaves the wall
    double keep_out_clearance_m = 0;   ///< trench edge to keep-outs, neighbors, unenterable surfaces
    double wall_exit_length_m = 0;     ///< within this of a source the foundation clearance is waived
    double tree_factor = 0;            ///< protection radius = factor x trunk diameter
    double tree_keep_out_factor = 0;   ///< inner circle, never entered: factor x trunk diameter
    double min_run_m = 0;              ///< straight pipe between two bends
    double max_turn_rad = 0;           ///< one bend, at most 90 degrees
    double max_deflection_rad = 0;     ///< a bend may differ from its fittings by this, taken up in the joints
    std::vector<FittingRule> fittings; ///< any order; up to two make one bend
    double coupling_price = 0;         ///< of a bend taken up in the joints: pipe cut and a coupling
    double pipe_per_m = 0;             ///< pipe and bedding, supplied and laid
    double machine_per_m3 = 0;         ///< dig, backfill, haul, in-place measure
    double hand_per_m3 = 0;
    double machine_per_m = 0; ///< by length whatever the depth
    double hand_per_m = 0;
    double crossing_price = 0;             ///< expose one utility (pothole, support)
    double min_crossing_angle_rad = 0;     ///< a mark crossed flatter than this is run along
    double wanted_crossing_angle_rad = 0;  ///< a crossing flatter than this is a warning
    std::map<Facility, double> side_gap_m; ///< pipe to facility, outside to outside: nearer counts as along it
    double unknown_width_m = 0;            ///< of a facility whose record gives none, for that gap
    double parallel_per_m = 0;             ///< so high that only no other way takes it
    double restore_width_m = 0;            ///< surface opened, at least the trench width
    std::string default_surface;           ///< kind of the ground under no patch
    std::map<std::string, SurfaceRule> surfaces;
    double curb_clearance_m = 0;       ///< top of pipe at least this far under the curb top
    double curb_width_m = 0;           ///< behind a curb outlet's face the record's curb top tells of the ground so far
    std::optional<CurbPipe> curb_pipe; ///< of the last reducer_length_m to a curb outlet; not set: the drain's own
    double reducer_length_m = 0;
    double popup_drop_m = 0;   ///< lid to the invert of the elbow under a yard outlet, where its record gives no invert
    double outlet_reach_m = 0; ///< within this of a curb or swale the cover may go down to outlet_cover_m
    double outlet_cover_m = 0;
    double slab_gap_m = 0;        ///< underside of a slab to top of pipe, everywhere
    double daylight_length_m = 0; ///< within this of a swale the pipe may come out of the ground
    double structure_gap_m = 0;   ///< pop-up, inlet tie, cleanout or pit to the outside of a facility
    double sewer_distance_m = 0;  ///< an inlet this near to a sewer mark that is not stated to be storm is refused
    std::vector<std::string> sanitary_words; ///< an inlet's name or id with one of these names a sanitary sewer
    SetbackRules setbacks;
    double outlet_lowered_m = 0; ///< of a trial, see plan/cures.hpp: every outlet's lowest invert lies this much lower
    double boundary_snap_m = 0;  ///< two layers' shared boundaries may disagree by this
    OutsideLot outside_lot = OutsideLot::right_of_way_only;
    // the search
    double cell_m = 0.25;
    int headings = 8;                 ///< 8 or 16
    long long label_budget = 0;       ///< labels one search may make
    long long drain_label_budget = 0; ///< the same for a drain of several sources
    friend bool operator==(const RouteRules&, const RouteRules&) = default;
};

/// Where a route may end and between which inverts.
struct EndPoint {
    Point at;
    double lowest_invert_elev_m = 0;
    double highest_invert_elev_m = 0;
    double reserve_m = 0; ///< kept above the lowest invert
    friend bool operator==(const EndPoint&, const EndPoint&) = default;
};

/// A trench line with the money it was chosen by. `line` runs from the outlet (station 0) to the source.
struct Route {
    Polyline line;
    EndPoint end; ///< at line.front()
    double lattice_cost =
        0; ///< optimum of the best lattice, by the lattice's own sums; 0 when none drains on a lattice
    double lattice_true_cost = 0; ///< the same line re-measured on true geometry
    double cost = 0;              ///< this line, re-measured; never above lattice_true_cost
    double proven_gap = 0;        ///< cost above the proven bound when the label budget ran out; else 0
    double orientation_rad = 0;   ///< of the lattice that won
    long long labels = 0;         ///< made over all orientations
    std::size_t cells = 0;        ///< of all lattices searched
    friend bool operator==(const Route&, const Route&) = default;
};

/// One bend as it is built.
struct Bend {
    double station_m = 0;
    double angle_rad = 0;
    std::vector<double> fitting_angles_rad; ///< empty: taken up in the joints alone
    double deflection_rad = 0;              ///< what the joints take up
    double price = 0;
    Point at;
    friend bool operator==(const Bend&, const Bend&) = default;
};

/// The fittings that come nearest to an angle, cheapest among those within the deflection limit.
/// Nothing when none is.
std::optional<Bend> bend_for(double angle_rad, const RouteRules& rules);

/// Its price; nothing when it turns too far or no fittings make it.
std::optional<double> bend_price(double angle_rad, const RouteRules& rules);
/// Bends of a line, by rising station; consecutive runs straighter than 0.1 degree give none.
/// @throws Error (internal) for a bend no fittings make
std::vector<Bend> bends(const Polyline& line, const RouteRules& rules);

/// Distance from a mark's line at which hand digging starts: half width (0 when unknown) + tolerance + accuracy.
double hand_dig_reach_m(const Mark& mark, const RouteRules& rules);

/// Distance from a mark's line that a structure keeps: half width (0 when unknown) + gap + accuracy.
double structure_reach_m(const Mark& mark, const RouteRules& rules);

/// The mark to which a structure at a place comes nearer than that, by the most; nothing: none.
const Mark* mark_in_reach(const Site& site, const Point& at, const RouteRules& rules);

/// The same for running along it: the hand-dig reach, or the side gap from a pipe in the middle of the trench where
/// that reaches farther.
double parallel_reach_m(const Mark& mark, const RouteRules& rules);

/// Stretches of a line by kind of surface, topmost patch, by rising station; they cover the whole line.
using SurfaceSpans = std::vector<std::pair<Interval, std::string>>;

/// The stretches of a line by what digging there asks for. Stations along the given line.
struct LineFacts {
    std::vector<Interval> hand;     ///< merged, marks and tree circles
    std::vector<Interval> tree;     ///< inside tree circles
    std::vector<Interval> parallel; ///< runs along a mark inside its zone or nearer than its side gap
    SurfaceSpans surface;
    friend bool operator==(const LineFacts&, const LineFacts&) = default;
};
SurfaceSpans surfaces_along(const Site& site, const Polyline& line, const RouteRules& rules);
/// @param surfaces  of that line
LineFacts facts_along(const Site& site, const Polyline& line, SurfaceSpans surfaces, const RouteRules& rules);

/// Least cover along a line to an outlet: the surface's, eased near a curb or swale as far as its paving lets it (see
/// route/cover.hpp). Spans cover the whole line.
/// @param surfaces  of that line
std::vector<std::pair<Interval, double>> min_cover_along(const SurfaceSpans& surfaces, const Polyline& line,
                                                         const Outlet& outlet, const RouteRules& rules);

/// What every search on a site shares. Build once, use from any number of threads.
class RoutePrep;
/// @param site  outlives it, like the ground
std::shared_ptr<const RoutePrep> prepare_routes(const Site& site, const Ground& ground, const RouteRules& rules);

/// Lines of one trench from one source to one outlet, cheapest first by what the search knows: they lie apart, and once
/// laid in straight grades and priced another one of them may be the cheapest.
std::variant<std::vector<Route>, Refusal> plan_routes(const RoutePrep& prep, const Site& site, const Ground& ground,
                                                      const Source& source, const Outlet& outlet,
                                                      const RouteRules& rules, UnitSystem units);

/// Plans the line of one trench from one source to one outlet: the first of those.
///
/// The cheapest of all lattice routes that drain, over several lattice orientations, then straightened on true
/// geometry. Start and end are the true places. Permission is not looked at.
/// @param prep  of the same site, ground and rules
/// @return the route, or the refusal with the place and the figures that decide
std::variant<Route, Refusal> plan_route(const RoutePrep& prep, const Site& site, const Ground& ground,
                                        const Source& source, const Outlet& outlet, const RouteRules& rules,
                                        UnitSystem units);

/// One rule that a line breaks. route_faults lists them by exact distances: what it enters and may not, turns and runs
/// against the rules, fall that lacks. Tests ask it of what the search returns; no plan does.
struct RouteFault {
    std::string text;
    Point at;
};
std::vector<RouteFault> route_faults(const Site& site, const Ground& ground, const Source& source, const Outlet& outlet,
                                     const Route& route, const RouteRules& rules);

} // namespace trenchwright
