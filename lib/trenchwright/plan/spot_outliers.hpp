#pragma once

#include "trenchwright/site/site.hpp"

#include <span>
#include <vector>

namespace trenchwright {

/// A shot that disagrees with those around it.
struct SpotOutlier {
    std::size_t spot = 0; ///< index into the spots
    double off_m = 0;     ///< its height less that of the plane of the shots around it
    friend bool operator==(const SpotOutlier&, const SpotOutlier&) = default;
};

struct OutlierRules {
    double min_off_m = 0;   ///< nearer than this to the plane of its neighbors no shot is doubted
    double usual_factor = 0; ///< nor one off by less than so many times what half of the shots are off
};

/// Shots that lie off the least-squares plane of the eight shots nearest to them, worst first.
///
/// The worst is taken out before the next is looked for, so that a wrong shot does not bring its neighbors into doubt.
/// The plane holds on a slope, and for a shot on the edge of the survey, which no triangle of the others covers.
/// Nothing for fewer than six shots, of which nobody can say which is wrong.
std::vector<SpotOutlier> spot_outliers(std::span<const Spot> spots, const OutlierRules& rules);

} // namespace trenchwright
