#pragma once

#include "geom/shapes.hpp"
#include "profile/profile.hpp"
#include "route/route.hpp"
#include "site/site.hpp"

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
    double least_cut_m = 0;
    double greatest_cut_m = 0;
    double mean_cut_m = 0; ///< by length
    double greatest_cut_station_m = 0;
    double machine_cut_m3 = 0;
    double hand_cut_m3 = 0;
    double bedding_m3 = 0;                    ///< under the pipe
    double pipe_m3 = 0;                       ///< displaced, by outside diameter
    double backfill_m3 = 0;                   ///< trench less bedding less pipe, as compacted in place
    double haul_loose_m3 = 0;                 ///< spoil that does not go back, swollen
    std::map<std::string, double> restore_m2; ///< by surface kind
    friend bool operator==(const Quantities&, const Quantities&) = default;
};

struct SoilRules {
    double swell_ratio = 0; ///< loose volume / in-place volume - 1
    double shrink_ratio =
        0; ///< 1 - compacted volume / in-place volume: backfill takes more in-place soil than its own room
    friend bool operator==(const SoilRules&, const SoilRules&) = default;
};

/// Hand-dig stretches of all marks and tree circles joined into zones that do not touch, by exact geometry.
std::vector<HandDigZone> hand_dig_zones(const Site& site, const Polyline& line, const RouteRules& rules);

/// Crossings by rising station. `depths` fields come from the profile and the ground.
std::vector<Crossing> crossings_along(const Site& site, const Polyline& line, const ProfileProblem& problem,
                                      const Profile& profile, const RouteRules& rules);

/// (facility width + 2 tolerance) / sin(angle) + trench width / tan(angle).
/// @throws Error (internal) for an angle outside (0, pi/2], NaN included
/// Source: trade rules, plain trigonometry.
double hand_dig_length_m(double facility_width_m, double tolerance_m, double trench_width_m, double angle_rad);

/// Depths at every whole multiple of step_m, at both ends, bends, zone ends, crossings and grade breaks; rising, no
/// station twice.
std::vector<Depth> depths(const ProfileProblem& problem, const Profile& profile, const std::vector<HandDigZone>& zones,
                          const std::vector<double>& extra_stations_m, double step_m);

/// Exact volumes for straight ground and straight pipe between breaks; fills in HandDigZone::volume_m3.
Quantities measure(const Site& site, const Polyline& line, const ProfileProblem& problem, const Profile& profile,
                   std::vector<HandDigZone>& zones, const RouteRules& rules, const SoilRules& soil);

/// Volume of a vertical-sided trench of one width over given straight grades between two stations.
double trench_volume_m3(const ProfileProblem& problem, const Profile& profile, Interval span);

} // namespace trenchwright
