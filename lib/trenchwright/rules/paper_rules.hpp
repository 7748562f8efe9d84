#pragma once

#include <map>
#include <string>
#include <vector>

namespace trenchwright {

/// How the sheets, the cut sheet and the record drawing are made. Every value is a setting.
struct PaperRules {
    std::string size; ///< "by units", "letter", "tabloid", "a4" or "a3"; always landscape
    double margin_m = 0;
    double reach_m = 0;                           ///< shown beyond the lot
    bool along_trench = false;                    ///< turn the plan so that the longest trench runs left to right
    std::vector<double> plan_scales_us_ratio;     ///< feet to the inch that are accepted, rising
    std::vector<double> plan_scales_metric_ratio; ///< 100 for 1:100, rising
    std::vector<double> up_scales_us_ratio;       ///< of a profile's heights
    std::vector<double> up_scales_metric_ratio;
    double invert_tolerance_m = 0;         ///< as built: an invert may differ from the plan by this
    double place_tolerance_m = 0;          ///< as built: the pipe may lie this far off its line
    double reading_m = 0;                  ///< as built: a level is read to this; less is not reported
    double measured_spacing_m = 0;         ///< as built: farther apart, the pipe between two places is not measured
    std::map<std::string, bool> checklist; ///< what the municipality asks for, by key; items not in it are asked for
    friend bool operator==(const PaperRules&, const PaperRules&) = default;
};

} // namespace trenchwright
