#pragma once

#include "trenchwright/profile/profile.hpp"
#include "trenchwright/route/route.hpp"

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

/// What a pipe's changes of grade and steep stretches ask for.
namespace trenchwright {

/// A change of grade beyond what the joints take.
struct VerticalBend {
    Bend bend; ///< its angle between the two grades; without fittings where none make it
    bool steeper_upstream = false;
    bool buildable = true; ///< fittings make the angle
    friend bool operator==(const VerticalBend&, const VerticalBend&) = default;
};

/// A stretch so steep that it is a riser and no grade.
struct PipeDrop {
    Interval span;
    double height_m = 0; ///< from its lower to its upper end
    friend bool operator==(const PipeDrop&, const PipeDrop&) = default;
};

/// From a fall on, anchors hold the pipe, no farther apart along it than the spacing.
struct AnchorStep {
    double fall_ratio = 0;
    double spacing_m = 0;
    friend bool operator==(const AnchorStep&, const AnchorStep&) = default;
};

/// Rules for grades that are no common ones. Every value is a setting.
struct SteepRules {
    double drop_fall_ratio = 0; ///< steeper is a drop
    AnchorStep steep;           ///< the least steep that is anchored
    AnchorStep steeper;
    AnchorStep steepest;
    friend bool operator==(const SteepRules&, const SteepRules&) = default;
};

/// Steep pipe that anchors hold.
struct AnchoredStretch {
    Interval span;
    double fall_ratio = 0; ///< the steepest in it
    double spacing_m = 0;
    std::size_t anchors = 0;
    friend bool operator==(const AnchoredStretch&, const AnchoredStretch&) = default;
};

/// By rising station.
struct TrenchGrades {
    std::vector<VerticalBend> bends;
    std::vector<PipeDrop> drops;
    std::vector<AnchoredStretch> anchored; ///< none under pressure
    friend bool operator==(const TrenchGrades&, const TrenchGrades&) = default;
};

/// Price of a change of grade as the fittings of RouteRules make it: free up to what the joints take, and where no
/// fittings make it so dear that only no other profile has it.
std::function<double(double)> turn_price(const RouteRules& rules);

/// The one place where a laid pipe's grades are judged.
/// @param line           of the same stations
/// @param min_stretch_m  shorter steep stretches are held by the pipe they belong to
TrenchGrades grades_of(std::span<const GradePoint> points, const Polyline& line, bool pressure, double min_stretch_m,
                       const RouteRules& route, const SteepRules& steep);

} // namespace trenchwright
