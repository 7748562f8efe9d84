#pragma once

#include "trenchwright/route/route.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// One distance that is asked of a trench, and what it keeps.
struct SetbackCheck {
    std::string kind = {}; ///< "lot line", "foundation", "street line", "well", "septic", "easement"
    std::string id = {};   ///< of the well or the like; empty for lines of the lot and foundations
    SetbackRule rule = {};
    double nearest_m = 0; ///< from the trench's edge, square at its ends; 0 where it enters or crosses
    double nearest_station_m = 0;
    std::vector<Interval> too_near = {}; ///< stretches from which some part of the trench lies nearer than asked
    friend bool operator==(const SetbackCheck&, const SetbackCheck&) = default;
};

/// The trench against everything a distance is asked from. Exact distances from the trench's edge.
///
/// Measured over the whole trench, but for the foundation: it is not counted within wall_exit_length_m of the source,
/// which lies at its wall. Nothing for what the site does not have.
std::vector<SetbackCheck> setback_checks(const Site& site, const Polyline& line, const RouteRules& rules);

/// Where a trench lies in an area that belongs to somebody else in part: the right-of-way, an easement.
struct AreaInside {
    std::string id = {};
    std::string holder = {};
    std::vector<Interval> spans = {};
    double length_m = 0;
    double opened_m2 = 0; ///< of surface, over the restored width
    friend bool operator==(const AreaInside&, const AreaInside&) = default;
};

/// The right-of-way strip as one zone; nothing where the trench stays out of it.
std::optional<AreaInside> inside_right_of_way(const Site& site, const Polyline& line, double opened_width_m);
/// Easements the trench enters.
std::vector<AreaInside> inside_easements(const Site& site, const Polyline& line, double opened_width_m);

/// One tree beside or in the way of a trench.
struct TreeCheck {
    std::size_t tree = 0;              ///< index into Site::trees
    double nearest_m = 0;              ///< trunk's center to the trench's edge
    double station_m = 0;              ///< there
    double circle_m = 0;               ///< radius of its protected circle
    std::vector<Interval> inside = {}; ///< stretches from which some part of the trench lies in the circle
    double inside_m = 0;
    bool near_hold = false; ///< nearer than hold_factor trunk diameters
    friend bool operator==(const TreeCheck&, const TreeCheck&) = default;
};

/// Trees whose circle the trench enters, by rising station.
std::vector<TreeCheck> tree_checks(const Site& site, const Polyline& line, const RouteRules& rules, double hold_factor);

} // namespace trenchwright
