#pragma once

#include "trenchwright/estimate/estimate.hpp"

#include <cstddef>
#include <optional>
#include <string>

namespace trenchwright {

/// One way to do the job: an outlet, as planned or by a variant.
struct Choice {
    std::size_t outlet = 0; ///< index into Site::outlets
    std::string variant;    ///< "as planned", "6 in pipe", ...
    bool works = false;     ///< every source has a plan; whether that may be built: state_of
    std::size_t stops = 0;  ///< findings that are STOPs
    CentSpread price;       ///< totals, rates erring together
    bool has_hours = false;
    Spread crew_hours;
    int permission_step = 0; ///< 0 yes, 1 ask, 2 unstated; the weakest of its waters
    std::optional<double> lead_time_days;
    double length_m = 0;
    std::optional<double> hand_m;       ///< nothing: unknown, no mark is supplied
    double min_hand_m = 0;              ///< by the marks and trees supplied
    std::optional<double> spare_m;      ///< nothing: a pressure line needs none
    std::optional<double> error_m;      ///< of the ground where fall is tightest
    std::optional<double> drains_share; ///< probability
    std::size_t warnings = 0;           ///< findings that are no notes
    bool stands_full = false;           ///< a line stands full of water up to the wall before the lid opens
    bool ponds = false;                 ///< the water let out comes to a stand on the lot
    int pipe_step = 0;                  ///< 0 the pipe carries its flow, 1 flow not known, 2 too small
    std::string dominated_by;           ///< "Curb, as planned": as good or better in everything, better in something
    friend bool operator==(const Choice&, const Choice&) = default;
};

} // namespace trenchwright
