#pragma once

#include "trenchwright/profile/profile.hpp"

namespace trenchwright {

/// Stations nearer to each other than this are one place: below anything a tape or a file can tell apart.
inline constexpr double same_station_m = 1e-9;

/// Room that rounding may take from a limit, a millionth of a millimeter: a line that only just fits still fits.
inline constexpr double rounding_m = 1e-9;

/// @throws Error (internal) naming the value when a profile problem contradicts itself; NaN fails every check
void check_problem(const ProfileProblem& problem);

/// Sorted stations from 0 to the length, both included, none twice; what lies outside is left out.
std::vector<double> distinct_stations_m(std::vector<double> stations_m, double length_m);

/// Largest value of the stretches that hold or touch the station.
double max_at(const std::vector<SpanValue>& spans, double station_m);

/// Value of the stretch that holds the station; the lower one where two touch.
double value_at(const std::vector<SpanValue>& spans, double station_m);

} // namespace trenchwright
