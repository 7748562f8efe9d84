#pragma once

#include <optional>

namespace trenchwright {

/// A round pipe that runs part full, in shares of the same pipe running full; Manning's n the same at every depth.

struct PartFull {
    double area_ratio = 0;
    double hydraulic_radius_ratio = 0;
    double velocity_ratio = 0;
    double flow_ratio = 0;
    friend bool operator==(const PartFull&, const PartFull&) = default;
};

/// With the angle a = 4 asin(sqrt(depth ratio)) that the water's surface spans at the pipe's center:
/// area (a - sin a) / 2 pi, hydraulic radius 1 - sin a / a, velocity that to the power 2/3, flow area x velocity.
/// Exact within 1e-12 from a depth ratio of 1e-4 up.
/// @param depth_ratio  depth of water / bore, 0 to 1
/// @throws Error (internal) outside that range
/// Source: closed form; docs/sources.md, P1 to P14 (Encyclopaedia Britannica 1911, "Hydraulics", for the last five).
PartFull part_full(double depth_ratio);

/// Where the water runs fastest: tan a = a. 1.1400 times as fast as full.
inline constexpr double fastest_depth_ratio = 0.81280312733986099;

/// Where the pipe carries most: 3 a - 5 a cos a + 2 sin a = 0. 1.0757 times as much as full. Above it the pipe
/// carries less, so no flow settles there by itself.
inline constexpr double fullest_depth_ratio = 0.93818121617560716;

/// The most a pipe carries against the same pipe full: 1.0757.
double max_flow_ratio();

/// The depth at which the flow runs: the lower of the two where there are two, that is from full flow up to
/// 1.0757 times full flow.
/// @param flow_ratio  flow / flow of the pipe running full, 0 or more
/// @return nothing above the greatest flow: the pipe does not carry it with a free surface
/// @throws Error (internal) for a ratio below 0
std::optional<double> part_full_depth_ratio(double flow_ratio);

} // namespace trenchwright
