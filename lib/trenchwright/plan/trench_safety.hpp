#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/dig/beside.hpp"
#include "trenchwright/dig/footing_wedge.hpp"
#include "trenchwright/dig/setbacks.hpp"
#include "trenchwright/ground/cut_fill.hpp"
#include "trenchwright/ground/fall_line.hpp"
#include "trenchwright/ground/grade_away.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// A stretch too deep for vertical sides: sloped, or shored.
struct ProtectedStretch {
    ExceedingSpan cut = {};                 ///< where, and the greatest cut
    bool shored = false;                    ///< else sloped
    bool no_room = false;                   ///< shored though slopes are the rule: they would reach what they may not
    double top_width_m = 0;                 ///< of the opening at the greatest cut
    double extra_machine_m3 = 0;            ///< what the side slopes add, in place
    double extra_hand_m3 = 0;               ///< the same inside hand-dig zones
    double face_m2 = 0;                     ///< supported, both sides
    std::vector<Encroachment> reached = {}; ///< what the opening comes to
    friend bool operator==(const ProtectedStretch&, const ProtectedStretch&) = default;
};

/// Across whose boundary the water goes that is let out on the ground.
enum class AimTarget { stays_inside, street, neighbor, other_side, unknown };

/// A well or septic part that the water let out comes near.
struct AimReserve {
    std::string kind = {}; ///< "septic part" or "well"
    std::string id = {};
    double away_m = 0;     ///< from the way to it
    double required_m = 0; ///< its setback
    bool enters = false;
    bool barred = false; ///< a STOP: it enters, or comes into a well's circle that is hard
    friend bool operator==(const AimReserve&, const AimReserve&) = default;
};

/// A building that the water let out comes near.
struct AimBuilding {
    bool ours = false;
    std::string id = {}; ///< empty: none supplied
    double away_m = 0;   ///< from the way; 0: it runs against it
    friend bool operator==(const AimBuilding&, const AimBuilding&) = default;
};

/// The water that runs onto one neighbor's lot from all trenches of an outlet, and how far it ought to run before.
struct NeighborWater {
    std::size_t sources = 0;
    std::size_t unknown_sources = 0; ///< of them, whose flow nobody supplied
    std::optional<double> flow_m3ps; ///< nothing: that of some source is not known
    double counted_m3ps = 0;         ///< with aim.neighbor_flow for each source not known
    double required_m = 0;           ///< along the way, before the neighbor's boundary
    friend bool operator==(const NeighborWater&, const NeighborWater&) = default;
};

/// The way the water takes from the outlet.
struct OutletAim {
    FallLine way = {}; ///< cut where it leaves our lot
    AimTarget target = AimTarget::unknown;
    std::string neighbor = {}; ///< id of that lot; empty: none supplied
    double length_m = 0;       ///< along the way, from the outlet to its end or to the edge of the lot
    std::optional<Point> leaves_at = {};
    std::vector<std::string> walks = {};           ///< kinds of walk it runs over, ours or public
    double fall_ratio = 0;                         ///< of the ground along the way as far as length_m
    std::optional<NeighborWater> to_neighbor = {}; ///< where it runs onto a neighbor's lot
    std::vector<AimBuilding> buildings = {};       ///< nearer to the way than aim.building_distance, on any lot
    std::vector<AimReserve> reserves = {};         ///< it runs over or nearer to than their setback, on any lot
    std::optional<double> neighbor_away_m = {};    ///< from the outlet, straight; nothing: no neighbor's lot supplied
};

/// What keeps people, footings and trees unharmed along one trench, and whose ground it touches.
struct TrenchSafety {
    std::vector<ExceedingSpan> exits = {}; ///< a way out and an air check from here on
    std::vector<ProtectedStretch> protection = {};
    SpoilRoom spoil = {};
    std::vector<ExceedingSpan> wedge =
        {}; ///< below the footing's line; empty where the footing's depth is not known too
    std::vector<TreeCheck> trees = {};
    std::vector<SetbackCheck> setbacks = {};
    std::optional<AreaInside> street = {};
    std::vector<AreaInside> easements = {};
    std::optional<OutletAim> aim = {}; ///< of an outlet that lets water out on the ground
    std::vector<Interval> bored = {};  ///< where the pipe is bored under tree roots
    double bored_m = 0;                ///< their length
};

/// A place and how far it lies below the footing's line.
struct PlaceOver {
    Point at = {};
    double over_m = 0;
    friend bool operator==(const PlaceOver&, const PlaceOver&) = default;
};

/// Earth moved in the yard beside the trenches.
struct YardWork {
    std::optional<CutFill> grading = {}; ///< between the ground and the proposed spots
    std::vector<WallGrade> walls = {};   ///< of the proposed surface where there is one, else of the ground
    bool walls_proposed = false;
    double spread_m2 = 0;                     ///< area on which dirt may be spread
    std::vector<PlaceOver> inside_wedge = {}; ///< of the trench along the footing inside
    bool inside_checked = false;
};

} // namespace trenchwright
