#pragma once

#include <span>

namespace trenchwright {

/// Water that a roof or a piece of ground sheds in the design rain: the rational method.

/// A surface that sheds rain.
struct RunoffArea {
    double area_m2 = 0;      ///< in plan (a roof as seen from above), 0 or more
    double runoff_share = 0; ///< the runoff coefficient C: the share of the rain that runs off, 0 to 1
    friend bool operator==(const RunoffArea&, const RunoffArea&) = default;
};

/// A rain given as a depth that falls in a time: 2 in in 30 minutes.
/// @throws Error (input) for a depth below 0 or a time that is not above 0
double rain_rate_mps(double depth_m, double duration_s);

/// Flow C I A of one surface, exact in SI. 1 in/h on 1 ft2 gives 1 / 96.25 gpm; codes print 0.0104.
/// @throws Error (input) for an area or rain below 0 or a coefficient outside 0 to 1
///
/// Source: FHWA HEC-22, 4th ed., eq. 4.1, with Ku replaced by the exact units. The method is for areas under
/// 200 acres (80 ha), same, sec. 4.2.2.
double runoff_m3ps(const RunoffArea& surface, double rain_mps);

/// Flow of several surfaces together: the sum of their own. None gives 0.
double runoff_m3ps(std::span<const RunoffArea> surfaces, double rain_mps);

/// The one coefficient that several surfaces have together, weighted by area.
/// @throws Error (input) when they have no area together
double weighted_runoff_share(std::span<const RunoffArea> surfaces);

/// The area of a surface that sheds the flow in the rain: what a pipe can serve.
/// @throws Error (input) for a rain or coefficient that is not above 0, (internal) for a flow below 0
double area_served_m2(double flow_m3ps, double rain_mps, double runoff_share);

} // namespace trenchwright
