#pragma once

#include "trenchwright/base/point.hpp"

#include <optional>
#include <string>
#include <utility>

namespace trenchwright {

/// A stop: not to be built as planned; an engineer decides or the plan is changed.
enum class Severity { note, warning, stop };

/// Something the user must know. Doubtful data becomes a finding and is never repaired in silence.
struct Finding {
    Severity severity = Severity::note;
    std::string rule;                ///< the setting or other rule behind it, e.g. "dig.tolerance"
    std::string text;                ///< one sentence with its figures, in the job's unit system
    std::optional<Point> at;         ///< where on the site, if anywhere
    std::optional<double> station_m; ///< where along a route, if on one
    /// For the station rows of the crew's papers, which open with it: "ladder", "STOP footing"; empty: not for them.
    std::string row_words = {};
    std::optional<double> from_station_m = {}; ///< stretch on which row_words hold; nothing: at station_m alone
    std::optional<double> to_station_m = {};
    friend bool operator==(const Finding&, const Finding&) = default;
};

inline Finding finding(Severity severity, std::string rule, std::string text, std::optional<Point> at = {},
                       std::optional<double> station_m = {})
{
    return {severity, std::move(rule), std::move(text), at, station_m};
}

} // namespace trenchwright
