#pragma once

#include "trenchwright/flow/pump_line.hpp"
#include "trenchwright/flow/uplift.hpp"
#include "trenchwright/job/job_node.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// Fittings of a pump's line inside the house; those outside come from the trench.
struct PumpFittings {
    std::size_t elbows_90 = 0;
    std::size_t elbows_45 = 0;
    std::size_t tees_through = 0;
    std::size_t tees_branch = 0;
    std::size_t gate_valves = 0;
    friend bool operator==(const PumpFittings&, const PumpFittings&) = default;
};

/// A pump and its pit as the job states them. Levels are measured down from the pit's rim.
struct PumpRecord {
    std::string where;  ///< "lot.toml:12: ", put before a complaint
    std::string source; ///< id of its source; empty: the only pump
    std::vector<CurvePoint> curve;
    double rim_elev_m = 0; ///< top of the pit
    double pit_diameter_m = 0;
    double pit_depth_m = 0;
    std::optional<double> pit_wall_m = std::nullopt;
    double on_below_rim_m = 0;
    double off_below_rim_m = 0;
    double inside_length_m = 0; ///< of pressure pipe, from the pump to where the trench begins
    PumpFittings fittings;
    bool check_valve = true;
    bool perforated = false;
    std::optional<double> inflow_m3ps = std::nullopt; ///< the greatest that is expected
    double pit_weight_kg = 0;
    std::vector<Ballast> ballast;
};

/// The [pump] table of a job, or its list [[pump]].
/// @throws Error (input) naming file, line and key for a key unknown or missing, a value that is no quantity or out of
///         range, levels out of order, or a curve that does not fall
std::vector<PumpRecord> pumps_from(const JobNode& node);

} // namespace trenchwright
