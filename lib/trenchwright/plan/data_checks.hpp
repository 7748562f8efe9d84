#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/rules/rules.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// Worst first.
enum class FaultGrade {
    unreadable, ///< nothing can be planned with it
    grave,      ///< a plan is wrong or misses something; plans show it
    doubtful
};

/// Something wrong or doubtful in the data of a job, told before anything is planned.
struct DataFault {
    FaultGrade grade = FaultGrade::grave;
    std::string check;            ///< which check found it: "spot off its neighbors"
    Origin origin = {};           ///< file and layer may be empty; feature_id -1: no one feature
    std::optional<Point> at = {}; ///< where on the site, if anywhere
    std::string value = {};       ///< what the data says, as people read it; empty: no one figure
    std::string what;             ///< one sentence, with no full stop
    std::string why = {};         ///< why it matters; empty where `what` says it
    std::string advice = {};      ///< what to do; likewise
};

/// Everything the checks find in a site as read, worst first, of one grade in the order of the checks.
/// @param ground  nothing where none can be made of the heights; checks that need it are left out
std::vector<DataFault> data_faults(const Site& site, const Ground* ground, const Rules& rules);

/// "spots.csv, layer spots, feature 7"; empty for an origin without a file.
std::string place_text(const Origin& origin);

/// As a plan shows it.
Finding finding_of(const DataFault& fault);

} // namespace trenchwright
