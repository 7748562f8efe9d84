#pragma once

#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// How a drain along the footing inside a crawl space is built. Every value is a setting.
struct FootingRules {
    double trench_depth_m = 0; ///< floor to trench bottom at the far end, where the trench is shallowest
    double trench_width_m = 0;
    double outside_diameter_m = 0;
    double wall_m = 0;
    double stone_under_m = 0;  ///< under the pipe
    double stone_beside_m = 0; ///< at least, each side; the stone fills the trench's width
    double stone_over_m = 0;   ///< over the pipe
    double min_fall_ratio = 0;
    double join_reach_m = 0; ///< a line that ends this near another one runs into it
    double bag_yield_m3 = 0;
    double stone_kg_per_m3 = 0; ///< as it lies, loose
    bool keep_spoil_inside = false;
    friend bool operator==(const FootingRules&, const FootingRules&) = default;
};

/// Where footing drains run to. The pit itself is in no layer: it is taken to stand at the line end nearest to where
/// a pump's pipe leaves the house.
struct FootingPit {
    Point at;
    std::optional<std::size_t> source = {}; ///< index into Site::sources; nothing: no pump belongs to these lines
    double to_source_m = 0;                 ///< straight from the pit to the pump's place
    double length_m = 0;                    ///< of pipe that drains here
    Point farthest = {};                    ///< where the pipe begins that is longest on its way
    double longest_run_m = 0;               ///< from there, along the pipe
    double fall_m = 0;                      ///< of that pipe: its far end lies at least this much higher than the inlet
    double trench_depth_m = 0;              ///< floor to trench bottom at the pit, under a level floor
    double inlet_depth_m = 0;               ///< floor to the invert at the pit
    friend bool operator==(const FootingPit&, const FootingPit&) = default;
};

/// A straight piece of the trench along the footing, by how deep its bottom lies under the floor.
struct FootingRun {
    Point low; ///< toward the pit
    Point top;
    double low_depth_m = 0;
    double top_depth_m = 0;
    friend bool operator==(const FootingRun&, const FootingRun&) = default;
};

/// The whole job inside, all of it dug by hand. In-place measure unless the name says loose.
struct FootingWork {
    std::vector<FootingPit> pits;
    double length_m = 0; ///< along the lines
    double cut_m3 = 0;
    double stone_m3 = 0; ///< less the pipe
    double stone_kg = 0;
    long long bags = 0; ///< whole ones
    double pipe_m3 = 0;
    double refill_m3 = 0;              ///< room over the stone, filled with spoil
    double spoil_m3 = 0;               ///< cut less what goes back, as it lay in place
    double spoil_loose_m3 = 0;         ///< the same, swollen
    bool spoil_stays = false;          ///< spread inside; else carried out
    std::vector<FootingRun> runs = {}; ///< of the trench, straight in depth
    friend bool operator==(const FootingWork&, const FootingWork&) = default;
};

/// Measures the drains along the footing.
///
/// The floor is taken as level and the pipe as laid at the least fall all the way, so the trench is
/// trench_depth_m deep at the far end and deeper by the fall at the pit. Lines that meet are one drain; at each place
/// the water takes the shorter way to a pit, so a ring drains both ways. Lengths and volumes go by the center line.
/// Lines that no pump is near run to the last point of the first of them.
/// @return nothing when the site has no footing drain
/// @throws Error (internal) for a rule out of range, NaN included
std::optional<FootingWork> footing_work(const Site& site, const FootingRules& rules, const SoilRules& soil);

/// Length of a line outside every foundation.
double outside_foundations_m(const Polyline& line, const std::vector<Polygon>& foundations);

} // namespace trenchwright
