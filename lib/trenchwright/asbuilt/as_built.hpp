#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// Stations are printed to a hundredth of a foot.
inline constexpr double station_rounding_m = 0.005;

/// A level taken on the laid pipe.
struct MeasuredInvert {
    double station_m = 0;
    double invert_elev_m = 0;
    std::optional<Point> at = std::nullopt; ///< where it was taken, if anybody measured that
    friend bool operator==(const MeasuredInvert&, const MeasuredInvert&) = default;
};

/// One trench as it was laid, beside its plan.
struct MeasuredTrench {
    const TrenchPlan* trench = nullptr;
    std::size_t number = 0;              ///< as on the sheets, from 1
    std::vector<MeasuredInvert> inverts; ///< by rising station
};

/// One measured place and what it says.
struct AsBuiltRow {
    double station_m = 0;
    double planned_elev_m = 0;
    double invert_elev_m = 0;
    double cover_m = 0;               ///< planned ground to top of pipe
    double min_cover_m = 0;           ///< that the plan had to keep here
    std::optional<double> fall_ratio; ///< from here down to the measured place before it; negative: back-fall
    double standing_m = 0;            ///< water that cannot leave: the highest invert below, less this one
    std::optional<double> off_line_m; ///< from the planned line, where the place was measured
    friend bool operator==(const AsBuiltRow&, const AsBuiltRow&) = default;
};
std::vector<AsBuiltRow> as_built_rows(const MeasuredTrench& measured);

/// Bellies, too little cover, inverts and places off the plan. Rows next to each other with the same fault make one
/// finding, at the worst of them.
std::vector<Finding> place_findings(const MeasuredTrench& measured, const std::vector<AsBuiltRow>& rows,
                                    const Rules& rules);

/// Back-fall, water that stands, too little fall or cover, inverts off the plan; by rising station. What was not
/// measured is not judged. Each text carries its station and figures.
std::vector<Finding> as_built_findings(const MeasuredTrench& measured, const Rules& rules);
/// These and the gaps to marks (laid_gap_findings), by rising station.
std::vector<Finding> record_findings(const JobPlan& plan, const MeasuredTrench& measured);

/// Reads the measured levels of the drawn outlet's trenches from a table: the filled cut-sheet.csv, or any CSV with
/// from_source, station_ft or station_m, and as_built_invert_ft or _m, or as_built_rod_ft or _m: a rod on the invert
/// under the job's height of instrument. Rows without a level are left out.
/// as_built_x and as_built_y, in the site's own coordinates, are the place of the pipe; both or neither.
/// @throws Error (input) for a file or column that cannot be read, an unknown source, a station off its trench, two
///         levels at one station, a rod without a height of instrument, or no level at all
std::vector<MeasuredTrench> read_measured(const JobPlan& plan, const std::filesystem::path& file);

/// as-built.txt: each trench's table, then what is wrong with it, then what was not measured and the cautions.
std::string as_built_text(const JobPlan& plan, const std::vector<MeasuredTrench>& measured);

} // namespace trenchwright
