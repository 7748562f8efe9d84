#pragma once

#include "trenchwright/geom/shapes.hpp"
#include "trenchwright/profile/profile.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/site/site.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// A stretch that is dug by hand tools or vacuum only.
struct HandDigZone {
    Interval span;                  ///< stations
    std::vector<std::size_t> marks; ///< indices into Site::marks, ascending
    std::vector<std::size_t> trees; ///< indices into Site::trees, ascending
    double volume_m3 = 0;           ///< in-place measure
    friend bool operator==(const HandDigZone&, const HandDigZone&) = default;
};

/// Where the trench's axis meets a mark.
struct Crossing {
    std::size_t mark = 0; ///< index into Site::marks
    double station_m = 0;
    double angle_rad = 0; ///< in (0, pi/2]
    Point at;
    double ground_elev_m = 0;
    std::optional<double> facility_top_elev_m; ///< only where exposed; unknown otherwise
    double trench_bottom_elev_m = 0;
    double pipe_top_elev_m = 0;
    Interval hand_span;          ///< this mark's own hand-dig stretch around the crossing, exact
    double formula_length_m = 0; ///< (w + 2t)/sin a + b/tan a, the cross-check; straight line assumed
    friend bool operator==(const Crossing&, const Crossing&) = default;
};

/// Depth at one station.
struct Depth {
    double station_m = 0;
    double ground_elev_m = 0;
    double invert_elev_m = 0;
    double cut_m = 0;      ///< ground to trench bottom
    double cover_m = 0;    ///< ground to top of pipe
    double fall_ratio = 0; ///< of the pipe downstream of here
    bool by_hand = false;
    friend bool operator==(const Depth&, const Depth&) = default;
};

/// Everything that is measured, hauled or paid along one trench. In-place measure unless the name says loose.
struct Quantities {
    double length_m = 0;
    double pipe_length_m = 0; ///< along the slope
    double machine_length_m = 0;
    double hand_length_m = 0;
    double min_cut_m = 0;
    double max_cut_m = 0;
    double mean_cut_m = 0; ///< by length
    double max_cut_station_m = 0;
    double machine_cut_m3 = 0;
    double hand_cut_m3 = 0;
    double bedding_m3 = 0;                    ///< under the pipe
    double pipe_m3 = 0;                       ///< displaced, by outside diameter
    double backfill_m3 = 0;                   ///< trench less bedding less pipe, as compacted in place
    double haul_loose_m3 = 0;                 ///< spoil that does not go back, swollen: see SoilRules
    std::map<std::string, double> restore_m2; ///< by surface kind: length along the axis x restored width
    friend bool operator==(const Quantities&, const Quantities&) = default;
};

/// How soil changes its volume. To refill a room takes room / (1 - shrink) of soil as it lay in place; the rest of the
/// cut, (cut - that, not below 0) x (1 + swell), is hauled loose.
struct SoilRules {
    double swell_ratio = 0;  ///< loose volume / in-place volume - 1
    double shrink_ratio = 0; ///< 1 - compacted volume / in-place volume
    friend bool operator==(const SoilRules&, const SoilRules&) = default;
};

/// Hand-dig stretches of all marks and tree circles by exact geometry: every station from which some part of the
/// trench's width lies in a reach is in a zone. Zones are joined where less than a trench width of machine digging
/// would lie between and none is shorter than a trench width. Volumes are left 0: see measure.
std::vector<HandDigZone> hand_dig_zones(const Site& site, const Polyline& line, const RouteRules& rules);

/// One mark's own stretch, exact: neither rounded out nor joined with others.
struct MarkStretch {
    std::size_t mark = 0; ///< index into Site::marks
    Interval span;        ///< stations
    friend bool operator==(const MarkStretch&, const MarkStretch&) = default;
};
/// By mark, then by rising station.
std::vector<MarkStretch> mark_stretches(const Site& site, const Polyline& line, const RouteRules& rules);

/// The ground that a stretch of trench takes up: its whole width between the two stations, mitred at bends. So nothing
/// of the trench within reach of a mark lies outside the areas of its stretches.
std::vector<Polygon> trench_area(const Polyline& line, const Interval& span, double width_m);

/// Crossings by rising station; elevations come from the profile and the ground at the crossing. An exposed depth is
/// taken from that ground; without one the facility's elevation stays unknown.
std::vector<Crossing> crossings_along(const Site& site, const Polyline& line, const ProfileProblem& problem,
                                      const Profile& profile, const RouteRules& rules);

/// (facility width + 2 tolerance) / sin(angle) + trench width / tan(angle).
/// @throws Error (internal) for an angle outside (0, pi/2] or a negative size, NaN included
/// Source: plain trigonometry; docs/sources.md, J1 has figures.
double hand_dig_length_m(double facility_width_m, double tolerance_m, double trench_width_m, double angle_rad);

/// Depths at every whole multiple of step_m, at both ends, bends, zone ends, extra stations (crossings) and grade
/// breaks; rising, no station twice (a thousandth of a millimeter apart is twice). A zone's ends are dug by hand.
/// @throws Error (internal) for a station off the route or a step that is not above 0
std::vector<Depth> depths(const ProfileProblem& problem, const Profile& profile, const std::vector<HandDigZone>& zones,
                          const std::vector<double>& extra_stations_m, double step_m);

/// Exact volumes for straight ground and straight pipe between breaks; fills in HandDigZone::volume_m3.
/// @throws Error (input) when the pipe does not fit into the trench's width
/// @throws Error (internal) for a swell, shrink or width out of range
Quantities measure(const Site& site, const Polyline& line, const ProfileProblem& problem, const Profile& profile,
                   std::vector<HandDigZone>& zones, const RouteRules& rules, const SoilRules& soil);

/// Ground to trench bottom at a station.
double cut_at_m(const ProfileProblem& problem, const Profile& profile, double station_m);

/// Volume of a vertical-sided trench of one width over given straight grades between two stations. End areas are
/// exact here, for the cut runs straight between the breaks.
/// @throws Error (internal) for a stretch that does not lie on the route
double trench_volume_m3(const ProfileProblem& problem, const Profile& profile, Interval span);

} // namespace trenchwright
